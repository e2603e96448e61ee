using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>What a log's header says: where each value stands, and in which unit.</summary>
/// <param name="Columns">Where each value stands.</param>
/// <param name="Temperature">The unit of temperatures; <c>null</c>: °C already.</param>
/// <param name="Depth">The unit of rain; <c>null</c>: mm already.</param>
/// <param name="Speed">The unit of wind; <c>null</c>: m/s already.</param>
/// <param name="Notes">A sentence for each column whose unit was taken from its head, or that might be meant and is not read.</param>
public sealed record LogLayout(LogColumns Columns, Unit? Temperature, Unit? Depth, Unit? Speed, IReadOnlyList<string> Notes)
{
    private static readonly Dictionary<string, string> UsNames = new(StringComparer.Ordinal)
    {
        ["temperature"] = "temperature_f",
        ["rain"] = "rain_in",
        ["wind-speed"] = "wind_mph",
    };

    /// <summary>Finds the columns in a header, or says which one is missing or could be either.</summary>
    /// <param name="file">The file, for sentences.</param>
    /// <param name="header">The heads.</param>
    /// <param name="options">Which columns are named otherwise, and the units of those whose head says none.</param>
    /// <exception cref="LogProblemException">The header cannot be used.</exception>
    public static LogLayout Find(string file, IReadOnlyList<string> header, LogOptions options)
    {
        List<string> notes = [];
        var (day, timeOfDay) = DayAndTime(file, header, options, notes);
        var found = LogColumns.Defaults
            .Select(column => column.Role == "time" && day >= 0 ? (day, null) : Of(file, header, column.Role, column.Name, options, notes))
            .ToArray();
        var columns = new LogColumns(
            found[0].Place,
            found[1].Place,
            found[2].Place,
            found[3].Place,
            found[4].Place,
            found[5].Place,
            found[6].Place) with { TimeOfDay = timeOfDay };
        if (columns is { Temperature: < 0, Humidity: < 0, LeafWetness: < 0, Rain: < 0, Wind: < 0, LeafWetnessUnderShelter: < 0 })
            throw Missing(file, "temperature_c", "temperature", header);
        return new LogLayout(columns, Converted(found[1].Unit), Converted(found[4].Unit), Converted(found[5].Unit), notes);

        // Most logs are in the units of reckoning and need no conversion, and they are long.
        static Unit? Converted(Unit? unit) => unit == Unit.Celsius || unit == Unit.Millimetre || unit == Unit.MetrePerSecond ? null : unit;
    }

    /// <summary>
    /// The columns of day and time of day where they stand apart: <c>--columns time=DAY+TIME</c>, or heads "date" and "time"; -1: they
    /// do not.
    /// </summary>
    private static (int Day, int TimeOfDay) DayAndTime(string file, IReadOnlyList<string> header, LogOptions options, List<string> notes)
    {
        var isMapped = options.Columns.TryGetValue("time", out var mapped);
        var names = (isMapped ? mapped! : "date+time").Split('+');
        if (names.Length != 2 || (isMapped && IndexOf(header, mapped!) >= 0))
            return (-1, -1);
        List<int> places = [.. names.Select(name => IndexOf(header, name.Trim()))];
        if (places.Contains(-1))
            return isMapped ? throw Missing(file, names[places.IndexOf(-1)].Trim(), "time", header) : (-1, -1);
        notes.Add($"Columns \"{LogExcerpt.Of(header[places[0]])}\" and \"{LogExcerpt.Of(header[places[1]])}\" are read together as the time.");
        return (places[0], places[1]);
    }

    private static (int Place, Unit? Unit) Of(
        string file,
        IReadOnlyList<string> header,
        string role,
        string usual,
        LogOptions options,
        List<string> notes)
    {
        var isMapped = options.Columns.TryGetValue(role, out var mapped);
        // A US log may say its units in the names of its columns.
        var name = mapped
            ?? (options.Units == UnitSystem.Us && UsNames.GetValueOrDefault(role) is { } us && IndexOf(header, us) >= 0 ? us : usual);
        var place = IndexOf(header, name);
        if (place >= 0 && IndexOf(header, name, place + 1) >= 0)
            throw new LogProblemException(
                $"{file}: the header has two columns \"{name}\"; rename the one that is not the {role} column.");
        if (place >= 0 && !isMapped)
            return (place, UnitOf(options.Units, role));
        if (place < 0 && isMapped)
            throw Missing(file, name, role, header);
        if (place < 0)
            place = Usual(file, header, role, options, notes);
        if (place < 0 && role == "time")
            throw Missing(file, name, role, header);
        return (place, place < 0 ? null : Said(file, header[place], role, options, notes));
    }

    /// <summary>The one column whose head is a usual name of the role; -1: none is.</summary>
    private static int Usual(string file, IReadOnlyList<string> header, string role, LogOptions options, List<string> notes)
    {
        List<int> places = [];
        for (var i = 0; i < header.Count; i++)
        {
            if (!new LogHead(header[i].Trim()).IsUsualFor(role) || options.Columns.Values.Contains(header[i].Trim(), StringComparer.OrdinalIgnoreCase))
                continue;
            if (role is "temperature" or "rain" or "wind-speed" && Head(i).UnitFor(role) is null && Head(i).OddUnitFor(role) is null)
                notes.Add(
                    $"Column \"{LogExcerpt.Of(header[i])}\" is not read: its head says no unit. Where it is the {role} column, add --columns {role}=\"{LogExcerpt.Of(header[i].Trim())}\"; it is then read in {UnitOf(options.Units, role)!.Symbol}.");
            else
                places.Add(i);
        }

        return places.Count <= 1
            ? places.Count == 0 ? -1 : places[0]
            : throw new LogProblemException(
                $"{file}: each of the columns {string.Join(" and ", places.Select(place => $"\"{LogExcerpt.Of(header[place])}\""))} could be the {role} column; say which with --columns {role}=\"{LogExcerpt.Of(header[places[0]].Trim())}\".");

        LogHead Head(int place) => new(header[place].Trim());
    }

    /// <summary>The unit that a head says, which is told; else that of the log.</summary>
    private static Unit? Said(string file, string head, string role, LogOptions options, List<string> notes)
    {
        if (role == "time")
            return null;
        var said = new LogHead(head.Trim());
        if (said.UnitFor(role) is { } unit)
        {
            notes.Add($"Column \"{LogExcerpt.Of(head)}\" is read as {role.Replace('-', ' ')} ({unit.Symbol}), as its head says.");
            return unit;
        }

        // A sensor's own scale has no unit, whatever its head says.
        return said.OddUnitFor(role) is { } odd && !role.StartsWith("leaf", StringComparison.Ordinal)
            ? throw new LogProblemException(
                $"{file}: column \"{LogExcerpt.Of(head)}\" says \"{LogExcerpt.Of(odd)}\", which is no unit that {role.Replace('-', ' ')} is read in ({LogHead.UnitsOf(role)}); convert the column, and name its unit in the head.")
            : UnitOf(options.Units, role);
    }

    private static Unit? UnitOf(UnitSystem units, string role) => role switch
    {
        "temperature" => units.UnitOf(Dimension.Temperature),
        "rain" => units.UnitOf(Dimension.Depth),
        "wind-speed" => units.UnitOf(Dimension.Speed),
        _ => null,
    };

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
            $"{file}: no column \"{name}\" in the header ({string.Join(", ", header.Take(12).Select(text => LogExcerpt.Of(text)))}); name it with --columns {role}=NAME.");
}
