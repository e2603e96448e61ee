using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>What a log's header says: where each value stands, and in which unit.</summary>
/// <param name="Time">Where the time stands in the rows, from 0.</param>
/// <param name="TimeOfDay">Where the time of day stands when <paramref name="Time"/> holds the day alone; -1: that holds both.</param>
/// <param name="Columns">The columns of values, in the order of the quantities.</param>
/// <param name="Notes">A sentence for each column whose unit was taken from its head, or that might be meant and is not read.</param>
public sealed record LogLayout(int Time, int TimeOfDay, IReadOnlyList<LogColumn> Columns, IReadOnlyList<string> Notes)
{
    private const string TimeRole = "time";

    private static readonly Dictionary<Quantity, string> UsNames = new()
    {
        [Quantity.Temperature] = "temperature_f",
        [Quantity.Rain] = "rain_in",
        [Quantity.WindSpeed] = "wind_mph",
    };

    /// <summary>What a column may be: the time, or a quantity by its word.</summary>
    public static IEnumerable<string> Roles => Quantities.All.Select(of => of.Word).Prepend(TimeRole);

    /// <summary>Finds the columns in a header, or says which one is missing or could be either.</summary>
    /// <param name="file">The file, for sentences.</param>
    /// <param name="header">The heads.</param>
    /// <param name="options">Which columns are named otherwise, and the units of those whose head says none.</param>
    /// <exception cref="LogProblemException">The header cannot be used.</exception>
    public static LogLayout Find(string file, IReadOnlyList<string> header, LogOptions options)
    {
        List<string> notes = [];
        var (day, timeOfDay) = DayAndTime(file, header, options, notes);
        var time = day >= 0 ? day : Of(file, header, null, options, notes).Place;
        var columns = Quantities.All.Select(of => (of.Quantity, Found: Of(file, header, of, options, notes)))
            .Where(one => one.Found.Place >= 0)
            .Select(one => new LogColumn(one.Quantity, one.Found.Place, one.Found.Unit))
            .ToArray();
        var first = Quantities.All[0];
        return columns.Length > 0 ? new LogLayout(time, timeOfDay, columns, notes) : throw Missing(file, first.Column, first.Word, header);
    }

    /// <summary>
    /// The columns of day and time of day where they stand apart: <c>--columns time=DAY+TIME</c>, or heads "date" and "time"; -1: they
    /// do not.
    /// </summary>
    private static (int Day, int TimeOfDay) DayAndTime(string file, IReadOnlyList<string> header, LogOptions options, List<string> notes)
    {
        var isMapped = options.Columns.TryGetValue(TimeRole, out var mapped);
        var names = (isMapped ? mapped! : "date+time").Split('+');
        if (names.Length != 2 || (isMapped && IndexOf(header, mapped!) >= 0))
            return (-1, -1);
        List<int> places = [.. names.Select(name => IndexOf(header, name.Trim()))];
        if (places.Contains(-1))
            return isMapped ? throw Missing(file, names[places.IndexOf(-1)].Trim(), TimeRole, header) : (-1, -1);
        notes.Add(
            $"Columns \"{LogExcerpt.Of(header[places[0]])}\" and \"{LogExcerpt.Of(header[places[1]])}\" are read together as the time.");
        return (places[0], places[1]);
    }

    /// <summary>Where the column of a quantity, or without one of the time, stands; -1: there is none.</summary>
    private static (int Place, Unit? Unit) Of(
        string file,
        IReadOnlyList<string> header,
        QuantityFacts? of,
        LogOptions options,
        List<string> notes)
    {
        var role = of?.Word ?? TimeRole;
        var isMapped = options.Columns.TryGetValue(role, out var mapped);
        // A US log may say its units in the names of its columns.
        var us = of is not null && options.Units == UnitSystem.Us ? UsNames.GetValueOrDefault(of.Quantity) : null;
        var name = mapped ?? (us is not null && IndexOf(header, us) >= 0 ? us : of?.Column ?? TimeRole);
        var place = IndexOf(header, name);
        if (place >= 0 && IndexOf(header, name, place + 1) >= 0)
            throw new LogProblemException(
                $"{file}: the header has two columns \"{name}\"; rename the one that is not the {role} column.");
        if (place >= 0 && !isMapped)
            return (place, of is null ? null : Converted(of, UnitOf(options.Units, of)));
        if (place < 0 && isMapped)
            throw Missing(file, name, role, header);
        if (place < 0)
            place = Usual(file, header, of, options, notes);
        if (place < 0 && of is null)
            throw Missing(file, name, role, header);
        return (place, place < 0 || of is null ? null : Converted(of, Said(file, header[place], of, options, notes)));
    }

    // Most logs are in the units of reckoning and need no conversion, and they are long. A sensor's own scale has no other.
    private static Unit? Converted(QuantityFacts of, Unit? unit) =>
        UnitOf(UnitSystem.Metric, of) is { } reckoned && unit != reckoned ? unit : null;

    /// <summary>The one column whose head is a usual name of the role; -1: none is.</summary>
    private static int Usual(string file, IReadOnlyList<string> header, QuantityFacts? of, LogOptions options, List<string> notes)
    {
        var role = of?.Word ?? TimeRole;
        List<int> places = [];
        for (var i = 0; i < header.Count; i++)
        {
            if (!new LogHead(header[i].Trim()).IsUsualFor(of)
                || options.Columns.Values.Contains(header[i].Trim(), StringComparer.OrdinalIgnoreCase))
                continue;
            if (of is not null && UnitOf(options.Units, of) is { } read && Head(i).UnitFor(of) is null && Head(i).OddUnitFor(of) is null)
                notes.Add(
                    $"Column \"{LogExcerpt.Of(header[i])}\" is not read: its head says no unit. Where it is the {role} column, "
                        + $"add --columns {role}=\"{LogExcerpt.Of(header[i].Trim())}\"; it is then read in {read.Symbol}.");
            else
                places.Add(i);
        }

        return places.Count <= 1
            ? places.Count == 0 ? -1 : places[0]
            : throw new LogProblemException(
                $"{file}: each of the columns {string.Join(" and ", places.Select(place => $"\"{LogExcerpt.Of(header[place])}\""))} "
                    + $"could be the {role} column; say which with --columns {role}=\"{LogExcerpt.Of(header[places[0]].Trim())}\".");

        LogHead Head(int place) => new(header[place].Trim());
    }

    /// <summary>The unit that a head says, which is told; else that of the log.</summary>
    private static Unit? Said(string file, string head, QuantityFacts of, LogOptions options, List<string> notes)
    {
        var (said, name) = (new LogHead(head.Trim()), of.Quantity.Name());
        if (said.UnitFor(of) is { } unit)
        {
            notes.Add($"Column \"{LogExcerpt.Of(head)}\" is read as {name} ({unit.Symbol}), as its head says.");
            return unit;
        }

        // A sensor's own scale has no unit, whatever its head says.
        return said.OddUnitFor(of) is { } odd && of.Dimension != Dimension.Raw
            ? throw new LogProblemException(
                $"{file}: column \"{LogExcerpt.Of(head)}\" says \"{LogExcerpt.Of(odd)}\", "
                    + $"which is no unit that {name} is read in ({LogHead.UnitsOf(of)}); convert the column, "
                    + "and name its unit in the head.")
            : UnitOf(options.Units, of);
    }

    /// <summary>The unit of a quantity that the systems of units measure differently; <c>null</c>: they do not.</summary>
    private static Unit? UnitOf(UnitSystem units, QuantityFacts of) =>
        UnitSystem.Metric.UnitOf(of.Dimension) == UnitSystem.Us.UnitOf(of.Dimension) ? null : units.UnitOf(of.Dimension);

    private static int IndexOf(IReadOnlyList<string> header, string name, int from = 0)
    {
        for (var i = from; i < header.Count; i++)
        {
            if (string.Equals(header[i].Trim(), name, StringComparison.OrdinalIgnoreCase))
                return i;
        }

        return -1;
    }

    private static LogProblemException Missing(string file, string name, string role, IReadOnlyList<string> header) =>
        new(
            $"{file}: no column \"{name}\" in the header ({string.Join(", ", header.Take(12).Select(text => LogExcerpt.Of(text)))}); "
                + $"name it with --columns {role}=NAME.");
}
