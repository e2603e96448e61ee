using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Forecasts;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>quantities</c> of the forecast.</summary>
internal static class ForecastQuantityReader
{
    public static IReadOnlyList<ForecastQuantitySettings> ReadAll(SectionReader forecast, string? shape, ProblemList problems)
    {
        Dictionary<(string, string), int> lines = [];
        List<ForecastQuantitySettings> all = [];
        foreach (var map in forecast.List("quantities"))
        {
            if (Read(map, shape, problems) is not { } one)
                continue;
            if (!lines.TryAdd((one.Quantity, one.Path), map.Line))
                problems.Error(map, $"quantity and path are those of the entry in line {lines[(one.Quantity, one.Path)]}", "each once");
            all.Add(one);
        }

        return all;
    }

    /// <summary>The quantity, or <c>null</c> when it or its path are missing or wrong.</summary>
    private static ForecastQuantitySettings? Read(YamlMapping map, string? shape, ProblemList problems)
    {
        SectionReader keys = new(map, ForecastKeys.Quantity, problems);
        var quantity = keys.Word("quantity");
        // SenML names its records by addresses, which are no paths.
        var path = shape == "senml" ? keys.Text("path") : PathKeys.Read(keys, "path", problems);
        var scale = keys.Number("scale");
        if (scale == 0)
            problems.Error(keys.Place("scale"), "'scale' is 0, which would turn every number into the same", keys.Range("scale"));
        var unitPath = PathKeys.Read(keys, "unit_path", problems);
        if (unitPath is not null && shape == "senml")
            problems.Error(keys.Place("unit_path"), "SenML has a place of its own for the unit", "no 'unit_path' here");
        var (word, told, hours) = (keys.Word("kind"), keys.Word("period"), keys.Number("hours"));
        if (quantity is null)
            return null;
        var kind = word ?? (quantity == "rain" ? "sum" : "instant");
        CheckPeriod(keys, quantity, kind, told, shape, problems);
        var unit = QuantityUnits.Read(keys, quantity, UnitWord.Of(ForecastUnit.Written(Enum.GetValues<ForecastQuantity>().First(one => one.Word() == quantity))));
        return path is null ? null : new ForecastQuantitySettings
        {
            Quantity = quantity,
            Path = path,
            Unit = unit,
            UnitIsStated = keys.Has("unit"),
            UnitPath = unitPath,
            Scale = scale,
            Kind = kind,
            Period = kind == "instant" ? null : told ?? "interval",
            Hours = hours,
        };
    }

    private static void CheckPeriod(SectionReader keys, string quantity, string kind, string? period, string? shape, ProblemList problems)
    {
        if (quantity == "rain" && kind != "sum")
            problems.Error(keys.Place("kind"), $"rain is the amount in a period, and 'kind' is {kind}", "kind: sum, or no 'kind'");
        else if (quantity != "rain" && kind == "sum")
            problems.Error(keys.Place("kind"), $"'kind' is sum, but {quantity} cannot be added up over hours", "kind: instant or mean");
        if (kind == "instant" && period is not null)
            problems.Error(
                keys.Place("period"),
                "'period' tells which hours a mean or a sum covers, and this quantity is an instant",
                "no 'period', or kind: mean");
        else if (kind != "instant" && !keys.Has("period") && shape is not (null or "layers" or "senml"))
            problems.Error(
                keys.Map,
                $"{quantity} is a {kind} over hours, and without 'period' it is not known whether over those before its time or after",
                keys.Range("period"));
        if (keys.Has("hours") && (kind == "instant" || period == "interval"))
            problems.Error(keys.Place("hours"), "'hours' is the length of a previous or next period, and there is none", "no 'hours' here");
    }
}
