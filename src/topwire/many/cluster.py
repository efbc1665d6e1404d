"""The workers: processes of this machine, or the user's own cluster by its address."""

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from topwire.values.fault import Faults, fault

DEATHS = 3  # workers that may die over a task before its places are tried one by one, and then told


@dataclass(frozen=True)
class Workers:
    """Who answers.

    Attributes
    ----------
    number : processes of this machine; 0 = one a processor
    scheduler : address of the user's own cluster, or empty
    authority, certificate, key : files in PEM for an address that begins with tls://
    memory : bytes a worker of this machine may take, after which it is stopped and its places tried again
    """

    number: int = 0
    scheduler: str = ""
    authority: str = ""
    certificate: str = ""
    key: str = ""
    memory: int = 2_000_000_000


LOST = "5s"  # a worker that has not come back by then is started anew
KEPT_FREE = 256_000_000  # bytes a worker keeps for its next arrays


@contextmanager
def client_of(workers: Workers, room: Path) -> Iterator[Any]:
    """A client of the workers while they are needed.

    Of this machine nothing is opened but the loopback address, and nothing written outside `room`.

    Raises
    ------
    Faults
        Where the extra is not installed, or no cluster answers at the address.
    """
    room.mkdir(parents=True, exist_ok=True)
    if not (Path.home() / ".config" / "dask").exists():  # else its own settings are left as a file there
        os.environ.setdefault("DASK_CONFIG", str(room / "settings"))
    try:
        import dask
        import distributed
    except ImportError:
        says = "answering many places needs the extra “many”."
        raise Faults([fault("topwire many", says, "pip install 'topwire[many]'")]) from None
    settings = {
        "temporary-directory": str(room),
        "distributed.scheduler.allowed-failures": DEATHS,
        "distributed.deploy.lost-worker-timeout": LOST,
        "distributed.worker.daemon": True,
        "distributed.diagnostics.nvml": False,
        # the default gives memory back after every array: a third of a worker's time went into getting it anew
        "distributed.nanny.pre-spawn-environ": {
            "MALLOC_TRIM_THRESHOLD_": KEPT_FREE,
            "MALLOC_MMAP_THRESHOLD_": KEPT_FREE,
            "MALLOC_ARENA_MAX": 1,
            "OMP_NUM_THREADS": 1,
            "OPENBLAS_NUM_THREADS": 1,
            "MKL_NUM_THREADS": 1,
        },
        "distributed.scheduler.http.routes": [],
        "distributed.worker.http.routes": [],
        "distributed.logging": {"distributed": "critical", "bokeh": "critical", "tornado": "critical"},
    }
    library: Any = distributed  # its own code says no types
    logging.getLogger("asyncio").setLevel(logging.CRITICAL)  # it would tell of every fetch broken off
    with dask.config.set(settings):
        if workers.scheduler:
            with _there(library, workers) as client:
                yield client
            return
        with (
            library.LocalCluster(
                n_workers=workers.number or os.cpu_count() or 1,
                threads_per_worker=1,
                processes=True,
                host="127.0.0.1",
                dashboard_address="127.0.0.1:0",  # where nothing is served: see the routes
                memory_limit=workers.memory,
                local_directory=str(room),
                silence_logs=50,
            ) as cluster,
            library.Client(cluster) as client,
        ):
            yield client


def _there(library: Any, workers: Workers) -> Any:
    security = None
    if workers.authority or workers.certificate or workers.key:
        security = library.Security(
            tls_ca_file=workers.authority or None,
            tls_client_cert=workers.certificate or None,
            tls_client_key=workers.key or None,
            require_encryption=True,
        )
    try:
        return library.Client(workers.scheduler, security=security, timeout=20)
    except (OSError, ValueError, TypeError) as error:
        says = f"no cluster answers there: {' '.join(str(error).split())[:160]}."
        raise Faults(
            [fault(f"--scheduler {workers.scheduler}", says, "Check address and certificates.")]
        ) from None
