using System.Runtime.InteropServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Finds what is wrong with a series by its last day: what no weather does, and a wrong unit, scale or limit would. The limits are
/// assumed unless a source stands beside them.
/// </summary>
/// <param name="site">The site: its zone, place and wetness limits.</param>
/// <param name="usual">Usual lowest and highest temperature of a day, °C; <c>null</c>: not known.</param>
/// <param name="pictures">The pictures of all series, by quantity and rank.</param>
internal sealed class FaultFinder(Site site, Func<DateOnly, (double MinC, double MaxC)>? usual, SeriesPicture?[][] pictures)
{
    private const int LeastHours = 18;
    private const int LeastOddHours = 3;
    private const double WidestDayC = 45;
    private const double MostRainOfADayMm = 400;
    private const double MostSteadyRainMm = 3;
    private const double ClimateMarginC = 15;
    private const double MostOfFraction = 1.05;
    private const double Saturated = 98;
    private const double Unsaturated = 90;
    private const double SwingC = 10;

    private readonly WetnessScale _wetness = new(site.LeafWetOn, site.LeafWetOff, site.LeafWetInverted);

    /// <summary>The fault that the last day shows; <c>null</c>: none.</summary>
    /// <param name="picture">The series.</param>
    /// <param name="day">Its last day.</param>
    public SeriesFault? Of(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        SeriesFault? fault = picture.Quantity switch
        {
            Quantity.Temperature => Temperature(picture, day),
            Quantity.Humidity => LooksFraction(day) ? SeriesFault.LooksFraction : StaysSaturated(day) ? SeriesFault.StaysSaturated : null,
            Quantity.LeafWetness => LeafWetness(picture, day),
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
        foreach (var hour in CollectionsMarshal.AsSpan(day))
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
        var today = LocalDay.Of(new DateTimeOffset(picture.Latest * TimeSpan.TicksPerHour, TimeSpan.Zero), site.Zone);
        var month = today.Month;
        if (usual?.Invoke(today) is var (least, most))
        {
            if (mean > most + ClimateMarginC && Celsius(mean) > least - ClimateMarginC && Celsius(mean) < most + ClimateMarginC)
                return SeriesFault.LooksFahrenheit;
            if (mean < least - ClimateMarginC && Fahrenheit(mean) > least - ClimateMarginC && Fahrenheit(mean) < most + ClimateMarginC)
                return SeriesFault.LooksCelsius;
        }

        // Nights above 33 °C are not known from places where stone fruit grows; in the cold half of the year neither are days of 30.
        if (low > 33 || (HalfYear(month) == Half.Cold && Math.Abs(site.LatitudeDeg!.Value) >= 25 && mean > 30))
            return SeriesFault.LooksFahrenheit;
        return HalfYear(month) == Half.Warm && Math.Abs(site.LatitudeDeg!.Value) is >= 25 and <= 60 && high < 5
            ? SeriesFault.LooksCelsius
            : null;
    }

    /// <summary>Against another thermometer of the site: one says in °F what the other says in °C.</summary>
    private SeriesFault? Neighbour(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        foreach (var other in pictures[(int)Quantity.Temperature])
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

    /// <summary>
    /// Saturated all day without rain, though the air warmed and cooled again by so much: the dew point would have gone with it. Fog keeps
    /// the sun off, and a warm front does not take its water away again.
    /// </summary>
    private bool StaysSaturated(List<SeriesPicture.Hour> day)
    {
        var (known, low, high, rise, fall) = (0, double.PositiveInfinity, double.NegativeInfinity, 0.0, 0.0);
        foreach (var hour in day)
        {
            if (hour.Count == 0)
                continue;
            if (hour.Min < Saturated || RainIn(hour.Number) is > 0)
                return false;
            known++;
            if (TemperatureIn(hour.Number) is not { } warmth)
                continue;
            (low, high) = (Math.Min(low, warmth), Math.Max(high, warmth));
            (rise, fall) = (Math.Max(rise, warmth - low), Math.Max(fall, high - warmth));
        }

        return known >= LeastHours && rise >= SwingC && fall >= SwingC;
    }

    private SeriesFault? LeafWetness(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        // Of an hour with both it is not known which came first; it counts as wet then, so that the next dry value tells.
        if (day[^1] is { Count: > 0 } last)
            picture.IsWet = TurnsWet(last) || (picture.IsWet && !TurnsDry(last));
        return NeverWet(day) ? SeriesFault.NeverWet : picture.IsWet && NeverDry(day) ? SeriesFault.NeverDry : null;
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
            if (TurnsWet(hour))
                return false;
            if (RainIn(hour.Number) is not >= 0.5 || TemperatureIn(hour.Number) is < 1)
                continue;
            mm += RainIn(hour.Number)!.Value;
            hours++;
        }

        return hours >= LeastOddHours && mm >= 3;
    }

    /// <summary>It turned dry in no hour of the day, among them eight of air below 60 % without rain.</summary>
    private bool NeverDry(List<SeriesPicture.Hour> day)
    {
        var (known, dry) = (0, 0);
        foreach (var hour in day)
        {
            if (hour.Count == 0)
                continue;
            if (TurnsDry(hour))
                return false;
            known++;
            dry += HumidityIn(hour.Number) is > 5 and < 60 && RainIn(hour.Number) is null or 0 ? 1 : 0;
        }

        return known >= LeastHours && dry >= 8;
    }

    private bool TurnsWet(SeriesPicture.Hour hour) => _wetness.IsWet(site.LeafWetInverted ? hour.Min : hour.Max, wasWet: false);

    private bool TurnsDry(SeriesPicture.Hour hour) => !_wetness.IsWet(site.LeafWetInverted ? hour.Max : hour.Min, wasWet: true);

    private SeriesFault? Rain(SeriesPicture picture, List<SeriesPicture.Hour> day)
    {
        var amounts = picture.Amounts;
        if (amounts.Count == SeriesPicture.AmountsKept)
        {
            // A bucket tips at 0.1 to 0.5 mm; 0.01 in is the tip of those made in inches (common practice, no source).
            if (
                !site.RainUnitStated
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

    /// <summary>From what to what the series goes that is doubted, in the quantity's unit.</summary>
    public static (double Low, double High) Range(SeriesPicture picture, List<SeriesPicture.Hour> day, SeriesFault fault)
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
        foreach (var hour in CollectionsMarshal.AsSpan(day))
            sum += hour.Sum;
        return sum;
    }

    private double? RainIn(long hour) => FirstOf(Quantity.Rain, hour)?.Sum;

    private double? TemperatureIn(long hour) => FirstOf(Quantity.Temperature, hour)?.Mean;

    private double? HumidityIn(long hour) => FirstOf(Quantity.Humidity, hour)?.Mean;

    private SeriesPicture.Hour? FirstOf(Quantity quantity, long hour)
    {
        foreach (var picture in pictures[(int)quantity])
        {
            if (picture?.Of(hour) is { Count: > 0 } bin && picture.Standing is null)
                return bin;
        }

        return null;
    }

    private Half HalfYear(int month)
    {
        if (site.LatitudeDeg is not { } latitude)
            return Half.Neither;
        var north = latitude >= 0 ? month : ((month + 5) % 12) + 1;
        return north switch { 11 or 12 or 1 or 2 or 3 => Half.Cold, 6 or 7 or 8 => Half.Warm, _ => Half.Neither };
    }

    private static double Celsius(double fahrenheit) => (fahrenheit - 32) * 5 / 9;

    private static double Fahrenheit(double celsius) => (celsius * 9 / 5) + 32;

    /// <summary>The hour says by itself that <see cref="Of"/> would find nothing.</summary>
    public static bool IsSound(Quantity quantity, SeriesPicture.Hour? hour) => hour is { Count: > 0 } && quantity switch
    {
        Quantity.Humidity => hour.Max > MostOfFraction && hour.Min < Saturated,
        Quantity.WindSpeed or Quantity.LeafWetnessUnderShelter => true,
        Quantity.Temperature or Quantity.LeafWetness or Quantity.Rain => false,
    };

    /// <summary>A doubt ends when the series has shown that it can do what it was doubted for, or after a day without a new sign.</summary>
    public bool IsOver(SeriesPicture picture, SeriesFault fault, long confirmed, List<SeriesPicture.Hour> day) => fault switch
    {
        SeriesFault.AllRefused => day[^1].Count > 0,
        SeriesFault.StaysSaturated => day.Exists(hour => hour.Count > 0 && hour.Min < Unsaturated),
        SeriesFault.NeverWet => day.Exists(hour => hour.Count > 0 && TurnsWet(hour)),
        SeriesFault.NeverDry => day.Exists(hour => hour.Count > 0 && TurnsDry(hour)),
        SeriesFault.LooksInches or SeriesFault.LooksTotal => true,
        SeriesFault.LooksFahrenheit or SeriesFault.LooksCelsius or SeriesFault.LeapsTooFar or SeriesFault.LooksFraction
            or SeriesFault.TooMuchRain => picture.Latest - confirmed > SeriesPicture.Hours,
    };

    private enum Half
    {
        Neither,
        Cold,
        Warm,
    }
}
