using BackyardSentinel.Reporting;

namespace BackyardSentinel.Tests.Reporting;

/// <summary>All that stands in a slice, line by line, to set two beside each other.</summary>
internal static class AlmanacText
{
    public static string Of(AlmanacSlice slice) => string.Join('\n', Lines(slice));

    private static IEnumerable<string> Lines(AlmanacSlice slice)
    {
        yield return string.Create(CultureInfo.InvariantCulture, $"{slice.From:u} {slice.To:u} {slice.RunningSpell}");
        foreach (var line in All(slice.Hours).Concat(All(slice.Days)).Concat(All(slice.Wetness)).Concat(All(slice.Missing))
            .Concat(All(slice.Spells)).Concat(All(slice.Doubts)))
            yield return line;
        foreach (var planting in slice.Plantings)
        {
            yield return planting.Planting;
            foreach (var line in All(planting.Levels).Concat(All(planting.Tissue)).Concat(All(planting.Cover)).Concat(All(planting.Windows))
                .Concat(All(planting.Stages)).Concat(All(planting.Closings)).Concat(All(planting.Sums)))
                yield return line;
        }
    }

    private static IEnumerable<string> All<T>(IEnumerable<T> rows) =>
        rows.Select(row => string.Create(CultureInfo.InvariantCulture, $"{row}"));
}
