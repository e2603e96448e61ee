# Builds the service and runs it as the unprivileged user of the base image.
FROM mcr.microsoft.com/dotnet/sdk:10.0 AS build
WORKDIR /source
COPY global.json Directory.Build.props Directory.Packages.props .editorconfig ./
COPY src ./src
RUN dotnet publish src/BackyardSentinel -c Release -o /app --property:UseAppHost=false

FROM mcr.microsoft.com/dotnet/aspnet:10.0
WORKDIR /garden
# A volume mounted on the store's folder takes its owner from here.
RUN mkdir -p /garden/data && chown -R $APP_UID /garden
COPY --from=build /app /app
USER $APP_UID
# The garden file garden.yaml, and beside it what it names: by default the store, data/sentinel.db.
VOLUME ["/garden"]
ENTRYPOINT ["dotnet", "/app/backyard-sentinel.dll"]
CMD ["run", "--garden", "/garden/garden.yaml"]
