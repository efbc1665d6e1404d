# topwire in a container: the orchard's folder is mounted at /orchard, the pages are at port 8730 of this machine,
# behind a passphrase that is asked for at the first start.
#   docker build -t topwire .
#   docker run --rm -it --user "$(id -u):$(id -g)" -p 127.0.0.1:8730:8730 -v "$PWD/my-orchard:/orchard" topwire
#   docker run --rm --user "$(id -u):$(id -g)" -v "$PWD/my-orchard:/orchard" topwire plan /orchard
FROM python:3.12-slim AS built
COPY . /source
RUN python -m venv /topwire && /topwire/bin/pip install --no-cache-dir /source

FROM python:3.12-slim
COPY --from=built /topwire /topwire
RUN useradd --create-home grower && mkdir /orchard && chown grower /orchard
USER grower
VOLUME /orchard
EXPOSE 8730
ENV PATH=/topwire/bin:$PATH OMP_NUM_THREADS=1 HOME=/tmp
ENTRYPOINT ["topwire"]
CMD ["serve", "/orchard", "--address", "0.0.0.0"]
