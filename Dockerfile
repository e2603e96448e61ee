# Makes the native program and runs it as a user without rights, on a file system that may be read-only but for the store.
FROM mcr.microsoft.com/dotnet/sdk:10.0 AS build
RUN apt-get update && apt-get install -y --no-install-recommends gcc libc6-dev zlib1g-dev && rm -rf /var/lib/apt/lists/*
WORKDIR /source
COPY . .
ARG TARGETARCH=amd64
# An image for another architecture is made on that one, or under emulation.
RUN if [ "$TARGETARCH" = arm64 ]; then arch=arm64; else arch=x64; fi; deploy/publish.sh $arch && mv artifacts/native/linux-$arch /app

FROM mcr.microsoft.com/dotnet/runtime-deps:10.0
COPY --from=build /app /app
# A volume mounted on the store's folder takes its owner from here.
RUN ln -s /app/backyard-sentinel /usr/local/bin/backyard-sentinel && mkdir -p /garden/data && chown -R $APP_UID /garden
WORKDIR /garden
USER $APP_UID
# The garden file garden.yaml, and beside it what it names: by default the store, data/sentinel.db.
VOLUME ["/garden/data"]
# The page's own word on whether readings are taken and judged; the garden file has to have a part 'page'.
HEALTHCHECK --interval=60s --timeout=5s --start-period=5m --retries=3 CMD ["/bin/bash", "-c", \
  "exec 3<>/dev/tcp/127.0.0.1/5480 && printf 'GET /health HTTP/1.0\\r\\nHost: localhost\\r\\n\\r\\n' >&3 && head -1 <&3 | grep -q ' 200 '"]
ENTRYPOINT ["backyard-sentinel"]
CMD ["run", "--garden", "/garden/garden.yaml"]
