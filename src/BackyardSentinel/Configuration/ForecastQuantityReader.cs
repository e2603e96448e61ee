using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>quantities</c> of the forecast.</summary>
internal static class ForecastQuantityReader
{
    public static IReadOnlyList<ForecastField> ReadAll(SectionReader forecast, ForecastShape? shape, ProblemList problems)
    {
        Dictionary<(ForecastQuantity, string), int> lines = [];
        List<ForecastField> all = [];
        foreach (var map in forecast.List("quantities"))
        {
            if (Read(map, shape, problems) is not { } one)
                continue;
            if (!lines.TryAdd((one.Quantity, one.Path), map.Line))
                problems.Error(map, $"quantity and path are those of the entry in line {lines[(one.Quantity, one.Path)]}", $"each once");
            all.Add(one);
        }

        return all;
    }

    /// <summary>The quantity, or <c>null</c> when it or its path are missing or wrong.</summary>
    private static ForecastField? Read(YamlMapping map, ForecastShape? shape, ProblemList problems)
    {
        SectionReader keys = new(map, ForecastKeys.Quantity, problems);
        var quantity = keys.Choice<ForecastQuantity>("quantity", ForecastQuantityWords.Word);
        // SenML names its records by addresses, which are no paths.
        var path = shape == ForecastShape.Senml ? keys.Text("path") : PathKeys.Read(keys, "path", problems);
        var scale = keys.Number("scale");
        if (scale == 0)
            problems.Error(keys.Place("scale"), $"'scale' is 0, which would turn every number into the same", keys.Range("scale"));
        var unitPath = PathKeys.Read(keys, "unit_path", problems);
        if (unitPath is not null && shape == ForecastShape.Senml)
            problems.Error(keys.Place("unit_path"), $"SenML has a place of its own for the unit", $"no 'unit_path' here");
        var chosen = keys.Choice<ForecastKind>("kind", ForecastKindWords.Word);
        var (told, hours) = (keys.Choice<ForecastPeriod>("period", ForecastPeriodWords.Word), keys.Number("hours"));
        if (quantity is not { } known)
            return null;
        var kind = chosen ?? (known == ForecastQuantity.Rain ? ForecastKind.Sum : ForecastKind.Instant);
        CheckPeriod(keys, known, kind, told, shape, problems);
        var unit = QuantityUnits.Read(keys, known.Word(), UnitWord.Of(ForecastUnit.Written(known)));
        // What has been reported does not make a field.
        if (path is null || scale == 0 || (known == ForecastQuantity.Rain) != (kind == ForecastKind.Sum))
            return null;
        return new ForecastField(
            known,
            path,
            keys.Has("unit") ? unit : null,
            scale,
            kind,
            kind == ForecastKind.Instant ? ForecastPeriod.Next : told ?? ForecastPeriod.Interval,
            hours,
            unitPath);
    }

    private static void CheckPeriod(
        SectionReader keys,
        ForecastQuantity quantity,
        ForecastKind kind,
        ForecastPeriod? period,
        ForecastShape? shape,
        ProblemList problems)
    {
        if (quantity == ForecastQuantity.Rain && kind != ForecastKind.Sum)
            problems.Error(
                keys.Place("kind"),
                $"rain is the amount in a period, and 'kind' is {new Name(kind.Word())}",
                $"kind: sum, or no 'kind'");
        else if (quantity != ForecastQuantity.Rain && kind == ForecastKind.Sum)
            problems.Error(
                keys.Place("kind"),
                $"'kind' is sum, but {new Name(quantity.Word())} cannot be added up over hours",
                $"kind: instant or mean");
        if (kind == ForecastKind.Instant && period is not null)
            problems.Error(
                keys.Place("period"),
                $"'period' tells which hours a mean or a sum covers, and this quantity is an instant",
                $"no 'period', or kind: mean");
        else if (
            kind != ForecastKind.Instant && !keys.Has("period") && shape is not (null or ForecastShape.Layers or ForecastShape.Senml))
            problems.Error(
                keys.Map,
                $"{new Name(quantity.Word())} is a {new Name(kind.Word())} over hours, and without 'period' it is not known whether over "
                    + $"those before its time or after",
                keys.Range("period"));
        if (keys.Has("hours") && (kind == ForecastKind.Instant || period == ForecastPeriod.Interval))
            problems.Error(
                keys.Place("hours"), $"'hours' is the length of a previous or next period, and there is none", $"no 'hours' here");
    }
}
