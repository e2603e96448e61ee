using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Watches whether what each series of a site says can be right: whether its values fit the season, the place's usual
/// climate, the other sensors and themselves. It finds wrong units, scales and limits within a day, from values that are
/// each possible. What it goes by is chosen so wide that no weather does it; the limits are assumed unless a source stands
/// beside them.
/// </summary>
public sealed class PlausibilityWatch
{
    /// <summary>Dew points above this do not occur outdoors: the highest measured is 35 °C (Dhahran, 8 July 2003; from memory).</summary>
    public const double HighestDewPointC = 35;

    private readonly FaultFinder _faults;
    private readonly Func<SeriesDoubt, bool>? _told;
    private readonly HashSet<(Quantity, int, SeriesFault, DateTimeOffset)> _raised = [];
    private readonly SeriesPicture?[][] _pictures = [[], [], [], [], [], []];
    private readonly List<SeriesDoubt> _standing = [];
    private double _humidity;
    private long _humidityTime = long.MinValue;

    /// <summary>Starts a watch that knows nothing.</summary>
    /// <param name="site">The site: its zone, place and wetness limits.</param>
    /// <param name="usual">Usual lowest and highest temperature of a day, °C; <c>null</c>: not known.</param>
    /// <param name="told">
    /// The very doubt was told before, by a watch that had not all the readings; <c>null</c>: none was. A doubt that comes
    /// up within a day of one that was told is that one, and keeps its moment, so that it is not told twice.
    /// </param>
    public PlausibilityWatch(Site site, Func<DateOnly, (double MinC, double MaxC)>? usual = null, Func<SeriesDoubt, bool>? told = null) =>
        (_told, _faults) = (told, new FaultFinder(site, usual, _pictures));

    /// <summary>The doubts that stand, in the order in which they came up.</summary>
    public IReadOnlyList<SeriesDoubt> Standing => _standing;

    /// <summary>Takes a reading that was taken.</summary>
    /// <param name="reading">The reading.</param>
    /// <returns>The doubts that stand are no longer the same.</returns>
    public bool Note(in Reading reading) => Note(reading.Quantity, reading.Rank, reading.Ticks, reading.Value);

    /// <summary>The same of what a reading consists of.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal bool Note(Quantity quantity, int rank, long time, double value)
    {
        // Nearly every reading lies in the hour that runs already.
        var picture = PictureOf(quantity, rank);
        if (picture.Running(time) is not { } bin)
            return NoteElsewhere(picture, time, value, impossible: false);
        bin.Add(value);
        NoteKind(picture, bin, time, value);
        return false;
    }

    /// <summary>The time within which readings of the preferred series need no look at their day, from and to, UTC ticks.</summary>
    /// <param name="columns">What they measure.</param>
    internal (long From, long To) RunningHour(ReadOnlySpan<Quantity> columns)
    {
        var (from, to) = (long.MinValue, long.MaxValue);
        foreach (var quantity in columns)
        {
            var hour = _pictures[(int)quantity] is [{ } picture, ..] ? picture.RunningHour : (0, 0);
            (from, to) = (Math.Max(from, hour.From), Math.Min(to, hour.To));
        }

        return (from, to);
    }

    /// <summary>Takes the readings of rows that lie within <see cref="RunningHour"/> and are plainly taken.</summary>
    /// <param name="rows">The rows.</param>
    internal void NotePlain(in RowRun rows)
    {
        foreach (var quantity in rows.Columns)
        {
            var values = rows.Of(quantity);
            var picture = _pictures[(int)quantity][0]!;
            picture.Running(rows.Ticks[0])!.Add(values);
            if (quantity == Quantity.Rain)
            {
                foreach (var amount in values)
                {
                    if (amount > 0)
                        picture.NoteAmount(amount);
                }
            }
            else if (quantity == Quantity.Humidity && values.LastIndexOfAnyExcept(double.NaN) is >= 0 and var last)
            {
                (_humidity, _humidityTime) = (values[last], rows.Ticks[last]);
            }
        }
    }

    /// <summary>Takes a reading that was refused as impossible.</summary>
    /// <param name="reading">The reading.</param>
    /// <returns>The doubts that stand are no longer the same.</returns>
    public bool NoteImpossible(in Reading reading) =>
        NoteElsewhere(PictureOf(reading.Quantity, reading.Rank), reading.Ticks, reading.Value, impossible: true);

    private bool NoteElsewhere(SeriesPicture picture, long time, double value, bool impossible)
    {
        // A log's row of an hour or a day is a mean of its own kind; a day's sum of rain is judged as what it is.
        var hour = time / TimeSpan.TicksPerHour;
        var changed = hour > picture.Latest
            && picture.Latest != long.MinValue
            && Judge(picture, new DateTimeOffset(time, TimeSpan.Zero));
        var bin = picture.At(hour);
        if (bin.Number != hour)
            return changed;
        if (!impossible)
        {
            bin.Add(value);
            NoteKind(picture, bin, time, value);
            return changed;
        }

        bin.Refuse(value);
        if (picture.Quantity == Quantity.Temperature && value > HighestDewPointC)
            bin.TooMoist |= IsTooMoist(time, value);
        return changed;
    }

    /// <summary>What a reading that was taken says beyond its hour.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void NoteKind(SeriesPicture picture, SeriesPicture.Hour bin, long time, double value)
    {
        if (picture.Quantity == Quantity.Humidity)
            (_humidity, _humidityTime) = (value, time);
        else if (picture.Quantity == Quantity.Temperature && value > HighestDewPointC)
            bin.TooMoist |= IsTooMoist(time, value);
        else if (picture.Quantity == Quantity.Rain && value > 0)
            picture.NoteAmount(value);
    }

    private bool IsTooMoist(long time, double temperature) =>
        _humidity > 5
        && Math.Abs(time - _humidityTime) <= TimeSpan.TicksPerHour
        && temperature <= 140
        && Psychrometrics.DewPointC(Math.Min(temperature, 100), Math.Min(_humidity, 100)) > HighestDewPointC;

    private bool Judge(SeriesPicture picture, DateTimeOffset now)
    {
        // A replay asks this for each hour of many years: what the last hour alone shows to be right needs no look at the day.
        if (picture.Standing is null && FaultFinder.IsSound(picture.Quantity, picture.Of(picture.Latest)))
            return false;
        var day = picture.Day();
        var fault = _faults.Of(picture, day);
        if (fault is { } found)
        {
            if (picture.Standing is { Doubt: var known } && known.Fault == found)
            {
                picture.Standing = (known, picture.Latest);
                return false;
            }

            End(picture);
            var (low, high) = FaultFinder.Range(picture, day, found);
            var hour = ClockHour.Of(now);
            var doubt = AsTold(new SeriesDoubt(picture.Quantity, picture.Rank, found, hour, low, high));
            picture.Standing = (doubt, picture.Latest);
            _standing.Add(doubt);
            return true;
        }

        if (picture.Standing is not { } stands || !_faults.IsOver(picture, stands.Doubt.Fault, stands.Confirmed, day))
            return false;
        End(picture);
        return true;
    }

    /// <summary>
    /// The doubt with the moment that it was told with, the nearest within a day; each that was told is found again once.
    /// </summary>
    private SeriesDoubt AsTold(SeriesDoubt doubt)
    {
        var known = doubt;
        for (var apart = 0; _told is not null && apart <= SeriesPicture.Hours; apart++)
        {
            SeriesDoubt before = doubt with { Since = doubt.Since.AddHours(-apart) },
                after = doubt with { Since = doubt.Since.AddHours(apart) };
            if (FoundAgain(before) || FoundAgain(after))
            {
                known = FoundAgain(before) ? before : after;
                break;
            }
        }

        _raised.Add(IdOf(known));
        return known;
    }

    private bool FoundAgain(SeriesDoubt doubt) => !_raised.Contains(IdOf(doubt)) && _told!(doubt);

    private static (Quantity, int, SeriesFault, DateTimeOffset) IdOf(SeriesDoubt doubt) =>
        (doubt.Quantity, doubt.Rank, doubt.Fault, doubt.Since);

    private void End(SeriesPicture picture)
    {
        if (picture.Standing is { } stands)
            _standing.Remove(stands.Doubt);
        picture.Standing = null;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private SeriesPicture PictureOf(Quantity quantity, int rank)
    {
        var row = _pictures[(int)quantity];
        return rank < row.Length && row[rank] is { } known ? known : NewPicture(quantity, rank);
    }

    private SeriesPicture NewPicture(Quantity quantity, int rank)
    {
        ref var row = ref _pictures[(int)quantity];
        if (rank >= row.Length)
            Array.Resize(ref row, rank + 1);
        return row[rank] = new SeriesPicture(quantity, rank);
    }
}
