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

    private const int LeastHours = 18;
    private const int LeastOddHours = 3;
    private const double WidestDayC = 45;
    private const double MostRainOfADayMm = 400;
    private const double MostSteadyRainMm = 3;
    private const double ClimateMarginC = 15;
    private const double MostOfFraction = 1.05;

    private readonly Site _site;
    private readonly Func<DateOnly, (double MinC, double MaxC)>? _usual;
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
        (_site, _usual, _told) = (site, usual, told);

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
            if (quantity is not (Quantity.Humidity or Quantity.Rain))
                continue;
            for (var i = 0; i < values.Length; i++)
            {
                if (quantity == Quantity.Rain && values[i] > 0)
                    picture.NoteAmount(values[i]);
                else if (quantity == Quantity.Humidity && !double.IsNaN(values[i]))
                    (_humidity, _humidityTime) = (values[i], rows.Ticks[i]);
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
        if (picture.Standing is null && IsSound(picture.Quantity, picture.Of(picture.Latest)))
            return false;
        var day = picture.Day();
        var fault = FaultOf(picture, day);
        if (fault is { } found)
        {
            if (picture.Standing is { Doubt: var known } && known.Fault == found)
            {
                picture.Standing = (known, picture.Latest);
                return false;
            }

            End(picture);
            var (low, high) = Range(picture, day, found);
            var hour = ClockHour.Of(now);
            var doubt = AsTold(new SeriesDoubt(picture.Quantity, picture.Rank, found, hour, low, high));
            picture.Standing = (doubt, picture.Latest);
            _standing.Add(doubt);
            return true;
        }

        if (picture.Standing is not { } stands || !IsOver(picture, stands.Doubt.Fault, stands.Confirmed, day))
            return false;
        End(picture);
        return true;
    }

    /// <summary>The hour says by itself that <see cref="FaultOf"/> would find nothing.</summary>
    private static bool IsSound(Quantity quantity, SeriesPicture.Hour? hour) => hour is { Count: > 0 } && quantity switch
    {
        Quantity.Humidity => hour.Max > MostOfFraction,
        Quantity.WindSpeed or Quantity.LeafWetnessUnderShelter => true,
        Quantity.Temperature or Quantity.LeafWetness or Quantity.Rain => false,
    };

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

    /// <summary>A doubt ends when the series has shown that it can do what it was doubted for, or after a day without a new sign.</summary>
    private bool IsOver(SeriesPicture picture, SeriesFault fault, long confirmed, List<SeriesPicture.Hour> day) => fault switch
    {
        SeriesFault.AllRefused => day[^1].Count > 0,
        SeriesFault.NeverWet => day.Exists(hour => hour.Count > 0 && IsWet(hour)),
        SeriesFault.NeverDry => day.Exists(hour => hour.Count > 0 && !IsAllWet(hour)),
        SeriesFault.LooksInches or SeriesFault.LooksTotal => true,
        SeriesFault.LooksFahrenheit or SeriesFault.LooksCelsius or SeriesFault.LeapsTooFar or SeriesFault.LooksFraction
            or SeriesFault.TooMuchRain => picture.Latest - confirmed > SeriesPicture.Hours,
    };

    private SeriesFault? FaultOf(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        SeriesFault? fault = picture.Quantity switch
        {
            Quantity.Temperature => Temperature(picture, day),
            Quantity.Humidity => LooksFraction(day) ? SeriesFault.LooksFraction : null,
            Quantity.LeafWetness => NeverWet(day) ? SeriesFault.NeverWet : NeverDry(day) ? SeriesFault.NeverDry : null,
            Quantity.Rain => Rain(picture, day),
            Quantity.WindSpeed or Quantity.LeafWetnessUnderShelter => null,
        };
        return fault ?? (AllRefused(day) ? SeriesFault.AllRefused : null);
    }

    /// <summary>For three hours and more nothing was taken, and something was refused in each of the last three that spoke.</summary>
    private static bool AllRefused(List<SeriesPicture.Hour> day) =>
        day.Count >= LeastOddHours && day[^1].Count == 0 && day.TakeLast(LeastOddHours).All(hour => hour is { Count: 0, Refused: > 0 });

    private SeriesFault? Temperature(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        // One loop: a replay asks this for each hour of many years.
        var (low, high, means, known, odd) = (double.PositiveInfinity, double.NegativeInfinity, 0.0, 0, 0);
        foreach (var hour in day)
        {
            if (hour.TooMoist || hour is { Refused: > 0, RefusedMin: > Quantities.MaxTemperatureC, RefusedMax: <= 135 })
                odd++;
            if (hour.Count == 0)
                continue;
            (low, high, means) = (Math.Min(low, hour.Min), Math.Max(high, hour.Max), means + hour.Mean);
            known++;
        }

        if (odd >= LeastOddHours)
            return SeriesFault.LooksFahrenheit;
        if (Neighbour(picture, day) is { } beside)
            return beside;
        if (high - low > WidestDayC)
            return SeriesFault.LeapsTooFar;
        if (known < LeastHours)
            return null;
        var mean = means / known;
        var today = LocalDay.Of(new DateTimeOffset(picture.Latest * TimeSpan.TicksPerHour, TimeSpan.Zero), _site.Zone);
        var month = today.Month;
        if (_usual?.Invoke(today) is var (least, most))
        {
            if (mean > most + ClimateMarginC && Celsius(mean) > least - ClimateMarginC && Celsius(mean) < most + ClimateMarginC)
                return SeriesFault.LooksFahrenheit;
            if (mean < least - ClimateMarginC && Fahrenheit(mean) > least - ClimateMarginC && Fahrenheit(mean) < most + ClimateMarginC)
                return SeriesFault.LooksCelsius;
        }

        // Nights above 33 °C are not known from places where stone fruit grows; in the cold half of the year neither are days of 30.
        if (low > 33 || (HalfYear(month) == Half.Cold && Math.Abs(_site.LatitudeDeg!.Value) >= 25 && mean > 30))
            return SeriesFault.LooksFahrenheit;
        return HalfYear(month) == Half.Warm && Math.Abs(_site.LatitudeDeg!.Value) is >= 25 and <= 60 && high < 5
            ? SeriesFault.LooksCelsius
            : null;
    }

    /// <summary>Against another thermometer of the site: one says in °F what the other says in °C.</summary>
    private SeriesFault? Neighbour(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        foreach (var other in _pictures[(int)Quantity.Temperature])
        {
            if (other is null || other == picture)
                continue;
            List<(double Mine, double Theirs)> pairs = [];
            foreach (var hour in day)
            {
                if (hour.Count > 0 && other.Of(hour.Number) is { Count: > 0 } same)
                    pairs.Add((hour.Mean, same.Mean));
            }

            if (pairs.Count < 12 || pairs.Exists(pair => Math.Abs(pair.Mine - pair.Theirs) < 10))
                continue;
            // Which of the two is in the wrong unit shows by which way the numbers go over.
            if (pairs.TrueForAll(pair => Math.Abs(Celsius(pair.Mine) - pair.Theirs) < 3))
                return SeriesFault.LooksFahrenheit;
        }

        return null;
    }

    private static bool LooksFraction(List<SeriesPicture.Hour> day)
    {
        var known = 0;
        foreach (var hour in day)
        {
            if (hour.Count > 0 && hour.Max > MostOfFraction)
                return false;
            known += hour.Count > 0 ? 1 : 0;
        }

        return known >= LeastOddHours;
    }

    /// <summary>Three hours of plain rain and more above freezing, 3 mm and more in all, and not once wet.</summary>
    private bool NeverWet(List<SeriesPicture.Hour> day)
    {
        double mm = 0;
        var hours = 0;
        foreach (var hour in day)
        {
            if (hour.Count == 0)
                continue;
            if (IsWet(hour))
                return false;
            if (RainIn(hour.Number) is not >= 0.5 || TemperatureIn(hour.Number) is < 1)
                continue;
            mm += RainIn(hour.Number)!.Value;
            hours++;
        }

        return hours >= LeastOddHours && mm >= 3;
    }

    /// <summary>Wet all day, among it eight hours of air below 60 % without rain.</summary>
    private bool NeverDry(List<SeriesPicture.Hour> day)
    {
        var (known, dry) = (0, 0);
        foreach (var hour in day)
        {
            if (hour.Count == 0)
                continue;
            if (!IsAllWet(hour))
                return false;
            known++;
            dry += HumidityIn(hour.Number) is > 5 and < 60 && RainIn(hour.Number) is null or 0 ? 1 : 0;
        }

        return known >= LeastHours && dry >= 8;
    }

    private bool IsWet(SeriesPicture.Hour hour) => _site.LeafWetInverted ? hour.Min <= _site.LeafWetOn : hour.Max >= _site.LeafWetOn;

    private bool IsAllWet(SeriesPicture.Hour hour) => _site.LeafWetInverted ? hour.Max <= _site.LeafWetOn : hour.Min >= _site.LeafWetOn;

    private SeriesFault? Rain(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        var amounts = picture.Amounts;
        if (amounts.Count == SeriesPicture.AmountsKept)
        {
            // A bucket tips at 0.1 to 0.5 mm; 0.01 in is the tip of those made in inches (common practice, no source).
            if (
                !_site.RainUnitStated
                && amounts.TrueForAll(mm => Math.Abs((mm / 0.01) - Math.Round(mm / 0.01)) < 1e-6 && mm < 0.1)
                && amounts.Count(mm => mm < 0.025) >= 9)
                return SeriesFault.LooksInches;
            var equal = 0;
            var rises = true;
            for (var i = 1; i < amounts.Count; i++)
            {
                rises &= amounts[i] >= amounts[i - 1];
                equal += amounts[i] == amounts[i - 1] ? 1 : 0;
            }

            // The same amount a dozen times over may be one steady rain; a total has grown in between, or stands too high for that.
            if (rises && equal >= 6 && amounts[0] > 1 && (amounts[^1] > amounts[0] || amounts[0] > MostSteadyRainMm))
                return SeriesFault.LooksTotal;
        }

        return SumOf(day) > MostRainOfADayMm ? SeriesFault.TooMuchRain : null;
    }

    private static (double Low, double High) Range(SeriesPicture picture, List<SeriesPicture.Hour> day, SeriesFault fault)
    {
        switch (fault)
        {
            case SeriesFault.AllRefused:
                var last = day[^1];
                return (last.RefusedMin, last.RefusedMax);
            case SeriesFault.LooksInches or SeriesFault.LooksTotal:
                return (picture.Amounts.Min(), picture.Amounts.Max());
            case SeriesFault.TooMuchRain:
                var sum = SumOf(day);
                return (sum, sum);
            default:
                return (day.Min(hour => Math.Min(hour.Min, hour.RefusedMin)), day.Max(hour => Math.Max(hour.Max, hour.RefusedMax)));
        }
    }

    private static double SumOf(List<SeriesPicture.Hour> day)
    {
        double sum = 0;
        foreach (var hour in day)
            sum += hour.Sum;
        return sum;
    }

    private double? RainIn(long hour) => FirstOf(Quantity.Rain, hour)?.Sum;

    private double? TemperatureIn(long hour) => FirstOf(Quantity.Temperature, hour)?.Mean;

    private double? HumidityIn(long hour) => FirstOf(Quantity.Humidity, hour)?.Mean;

    private SeriesPicture.Hour? FirstOf(Quantity quantity, long hour)
    {
        foreach (var picture in _pictures[(int)quantity])
        {
            if (picture?.Of(hour) is { Count: > 0 } bin && picture.Standing is null)
                return bin;
        }

        return null;
    }

    private Half HalfYear(int month)
    {
        if (_site.LatitudeDeg is not { } latitude)
            return Half.Neither;
        var north = latitude >= 0 ? month : ((month + 5) % 12) + 1;
        return north switch { 11 or 12 or 1 or 2 or 3 => Half.Cold, 6 or 7 or 8 => Half.Warm, _ => Half.Neither };
    }

    private static double Celsius(double fahrenheit) => (fahrenheit - 32) * 5 / 9;

    private static double Fahrenheit(double celsius) => (celsius * 9 / 5) + 32;

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

    private enum Half
    {
        Neither,
        Cold,
        Warm,
    }
}
