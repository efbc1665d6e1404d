"""A stamped design out of the plan: its parts looked up in the catalogue, and added to the yard."""

from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import TypeVar

from topwire.catalogue.model import Catalogue
from topwire.plan.trees import TrellisSection
from topwire.trellis.asked import Stamped
from topwire.trellis.end_choice import TOP
from topwire.trellis.kinds import Lack
from topwire.trellis.materials import (
    AnchorRow,
    Post,
    PostRow,
    PriceOrigin,
    Stock,
    Wire,
    WireRow,
    WoodRow,
    anchor_of,
    post_of,
    wire_of,
)
from topwire.trellis.search import HEADROOM
from topwire.values.fault import Faults, FileNotice, fault

Part = TypeVar("Part", Post, Wire, AnchorRow)


def stamped_design(
    trellis: TrellisSection, catalogue: Catalogue, stock: Stock
) -> tuple[Stamped | None, Stock]:
    """The plan's stamped design, and the yard with its parts in it and no other wire than its own.

    Raises
    ------
    Faults
        When a part is not in the catalogue, cannot be reckoned with, or is too short for its depth.
    """
    said = trellis.stamped
    if said is None:
        return None, stock
    wood = {row.name: row for row in catalogue.rows("wood", WoodRow)}
    posts = {row.name: post_of(row, wood, PriceOrigin()) for row in catalogue.rows("posts", PostRow)}
    wires = {row.name: wire_of(row, PriceOrigin()) for row in catalogue.rows("wires", WireRow)}
    anchors = {row.name: anchor_of(row) for row in catalogue.rows("anchors", AnchorRow)}
    posts |= {post.name: post for post in stock.posts}  # with the origin of their price
    wires |= {wire.name: wire for wire in stock.wires}
    faults: list[FileNotice] = []
    post = _part("post", said.post, posts, faults)
    end_post = _part("end_post", said.end_post, posts, faults)
    wire = _part("wire", said.wire, wires, faults)
    anchor = _part("anchor", said.anchor, anchors, faults)
    top = trellis.wire_heights[-1]
    for key, one, depth, above in (
        ("depth", post, said.depth, HEADROOM),
        ("end_depth", end_post, said.end_depth, TOP),
    ):
        if one is not None and depth is not None and one.length < top + above + depth - 5e-3:
            faults.append(
                fault(
                    f"plan.yaml, trellis.stamped.{key}",
                    f"“{one.name}” is {one.length:.2f} m long: under a top wire at {top:.2f} m it stands "
                    f"{max(one.length - top - above, 0):.2f} m deep at most, not {depth:.2f} m.",
                    "Name a longer post, or correct the depth.",
                )
            )
    if faults or post is None:
        raise Faults(faults)
    design = Stamped(
        said.by,
        post,
        said.depth,
        said.spacing,
        said.pretension,
        end_post,
        said.end_depth,
        anchor,
        said.anchors,
    )
    return design, replace(
        stock,
        posts=_with(stock.posts, post, end_post),
        wires=stock.wires if wire is None else (wire,),
        anchors=_with(stock.anchors, anchor),
    )


def _part(
    key: str, name: str | None, known: Mapping[str, Part | Lack], faults: list[FileNotice]
) -> Part | None:
    if name is None:
        return None
    found = known.get(name)
    where = f"plan.yaml, trellis.stamped.{key}"
    if found is None:
        near = get_close_matches(name, list(known), n=1, cutoff=0.3)
        remedy = f"Did you mean “{near[0]}”?" if near else "Add it to your own catalogue."
        faults.append(fault(where, f"the catalogue has no “{name}”.", remedy))
        return None
    if isinstance(found, Lack):
        faults.append(
            fault(where, f"“{name}” cannot be reckoned with: its {found.value.replace('_', ' ')} is missing.",
                  "Complete its row in your own catalogue.")
        )  # fmt: skip
        return None
    return found


def _with(held: tuple[Part, ...], *more: Part | None) -> tuple[Part, ...]:
    found = list(held)
    for one in more:
        if one is not None and one.name not in [other.name for other in found]:
            found.append(one)
    return tuple(found)
