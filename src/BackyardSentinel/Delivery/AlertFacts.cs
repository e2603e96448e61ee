using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using Fluid.Values;

namespace BackyardSentinel.Delivery;

/// <summary>Where an alert is read: by which clock, and under which names.</summary>
/// <param name="Zone">The time zone.</param>
/// <param name="Names">The names.</param>
internal readonly record struct AlertPlace(TimeZoneInfo Zone, AlertNames Names);

/// <summary>The facts of an occasion as templates see them: local times, figures as people write them, false where missing.</summary>
internal sealed class AlertFacts(WordsFile words, AlertPlace at, UnitSystem units)
{
    private readonly TimeZoneInfo _zone = at.Zone;
    private readonly Dictionary<string, FluidValue> _values = new(StringComparer.Ordinal);

    /// <summary>All facts of one occasion; names are cut to so many characters.</summary>
    /// <param name="occasion">The occasion.</param>
    /// <param name="plantings">The plantings it came to, one or more; none where it is not about plantings.</param>
    /// <param name="nameLength">Longest name.</param>
    /// <param name="counted">Several plantings are told by their number.</param>
    public Dictionary<string, FluidValue> Of(Occasion occasion, IReadOnlyList<string> plantings, int nameLength, bool counted)
    {
        var site = Shorten(occasion.Site, nameLength);
        var planting = Plantings(
            [.. plantings.Select(id => occasion.Site is { } there ? at.Names.Planting(there, id) ?? id : id)],
            nameLength,
            counted);
        Set("site", site);
        Set("planting", planting);
        Set(
            "place",
            planting is null
                ? site ?? words.Word("garden")
                : words
                    .Word("place")
                    .Replace("{planting}", planting, StringComparison.Ordinal)
                    .Replace("{site}", site, StringComparison.Ordinal));
        Set("at", Moment(occasion.At));
        SetKind(occasion, nameLength);
        return _values;
    }

    /// <summary>The names as a list in words, or their number; <c>null</c> without any.</summary>
    private string? Plantings(IReadOnlyList<string> plantings, int nameLength, bool counted)
    {
        if (plantings.Count > 1 && counted)
            return words
                .Word("plantings")
                .Replace("{count}", plantings.Count.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal);
        var names = plantings.Select(planting => Shorten(planting, nameLength)!).ToList();
        return names.Count switch
        {
            0 => null,
            1 => names[0],
            _ => $"{string.Join(", ", names.Take(names.Count - 1))} {words.Word("and")} {names[^1]}",
        };
    }

    /// <summary>A moment by the local clock.</summary>
    public string Moment(DateTimeOffset moment)
    {
        var local = TimeZoneInfo.ConvertTime(moment, _zone);
        return Fill(words.Word("moment"), DateOnly.FromDateTime(local.Date))
            .Replace("{time}", local.ToString("HH:mm", CultureInfo.InvariantCulture), StringComparison.Ordinal);
    }

    /// <summary>A name cut to so many characters, the last one saying so.</summary>
    public static string? Shorten(string? name, int length) => name is null || name.Length <= length ? name : name[..(length - 1)] + "…";

    private void SetKind(Occasion occasion, int nameLength)
    {
        switch (occasion)
        {
            case LevelRisen risen:
                SetLevel(risen.To);
                Set("from", LevelWord(risen.From));
                Set("since", Moment(risen.Since));
                Set("fell_at", risen.FellAt is { } fell ? Moment(fell) : null);
                Set("rule", risen.Rule);
                Set("wet_hours", Tenths(risen.WetHours));
                Set("rain", Rain(risen.RainMm));
                Set("mean_temp", Temperature(risen.MeanTempC));
                Set("fraction_pct", risen.FractionReached is { } fraction ? Whole(100 * fraction) : null);
                Set("cover", risen.Cover);
                Set("uncertain", risen.Uncertain);
                Set("no_rain_gauge", risen.NoRainGauge);
                Set("sheltered", risen.Sheltered);
                Set("stage_sure", risen.StageSure);
                Set("others", Others(risen));
                Set("look_from", Day(LocalDay.Of(risen.Since, _zone).AddDays(Incubation.FirstDay)));
                break;
            case WindowAhead ahead:
                SetLevel(ahead.Expected);
                Set("expected_at", Moment(ahead.ExpectedAt));
                Set("wet_hours", Tenths(ahead.WetHours));
                Set("rain", Rain(ahead.RainMm));
                Set("mean_temp", Temperature(ahead.MeanTempC));
                Set("cover", ahead.Cover);
                Set("issued", Moment(ahead.Issued));
                break;
            case SprayDeadlineNear near:
                Set("days_left", near.DaysLeft);
                Set("expected_swell", Day(near.ExpectedSwell));
                Set("early_swell", Day(near.EarlySwell));
                Set("late_swell", Day(near.LateSwell));
                break;
            case LeafFallSprayDue due:
                Set("by", Day(due.By));
                Set("days_left", due.DaysLeft);
                Set("leaves_down_on", Day(due.LeavesDownOn));
                Set("guessed", due.Guessed);
                break;
            case ShelterDue shelter:
                Set("by", shelter.By is { } latest ? Day(latest) : null);
                Set("days_left", shelter.DaysLeft ?? int.MaxValue);
                Set("guessed", shelter.Guessed);
                break;
            case SprayLastChance chance:
                Set("expected_swell", Day(chance.ExpectedSwell));
                Set("early_swell", Day(chance.EarlySwell));
                Set("late_swell", Day(chance.LateSwell));
                break;
            case SpraySlotFound slot:
                Set("product", Shorten(slot.ProductName, nameLength));
                Set("serves", slot.Serves);
                Set("deadline", slot.Deadline is { } deadline ? Day(deadline) : null);
                Set("start", Moment(slot.Start));
                Set("end", Moment(slot.End));
                break;
            case CoverToRecheck cover:
                SetCover(cover.ProductName, cover.RainMm, cover.SprayedOn, nameLength);
                break;
            case CoverSpent cover:
                SetCover(cover.ProductName, cover.RainMm, cover.SprayedOn, nameLength);
                break;
            case ScoutingDue due:
                Set("window_opened", Moment(due.WindowOpened));
                Set("likely_from", Day(due.LikelyFrom));
                Set("likely_to", Day(due.LikelyTo));
                Set("may_not_develop", due.MayNotDevelop);
                Set("too_warm", Temperature(Incubation.TooWarmC));
                break;
            case LookAtBuds look:
                Set("code", look.Code);
                Set("expected", look.Expected);
                Set("table_would_help", look.ATableWouldHelp);
                break;
            case NeedsNotMet needs:
                Set("chill", Tenths(needs.Chill));
                Set("need", Tenths(needs.Need));
                break;
            case PickingDue due:
                Set("curl_seen_on", Day(due.CurlSeenOn));
                break;
            case SeasonClosed closed:
                Set("warm_days", closed.WarmDays);
                Set("curl_may_show", closed.CurlMayShow);
                Set("sheltered", closed.Sheltered);
                Set("warm_above", Temperature(SusceptibleSeason.WarmAboveC));
                break;
            default:
                SetSystem(occasion, nameLength);
                break;
        }
    }

    private void SetSystem(Occasion occasion, int nameLength)
    {
        switch (occasion)
        {
            case SensorSilent silent:
                SetSeries(silent.Series, silent.Quantity, nameLength);
                Set("since", Moment(silent.Since));
                break;
            case SensorBack back:
                SetSeries(back.Series, back.Quantity, nameLength);
                Set("silent_since", Moment(back.SilentSince));
                break;
            case ReadingsDoubtful doubtful:
                Set("quantity", words.Word("quantity." + doubtful.Doubt.Quantity.Word()));
                Set("fault", doubtful.Doubt.Word);
                Set("lowest", Decimal(UnitHint.Figure(doubtful.Doubt.Lowest)));
                Set("highest", Decimal(UnitHint.Figure(doubtful.Doubt.Highest)));
                Set("rain", doubtful.Doubt.Fault == SeriesFault.TooMuchRain ? Rain(doubtful.Doubt.Highest) : null);
                break;
            case SensorStuck stuck:
                SetSeries(stuck.Series, stuck.Quantity, nameLength);
                Set("value", Decimal(units.Value(stuck.Quantity, stuck.Value)));
                Set("since", Moment(stuck.Since));
                break;
            case SensorsSilent silent:
                Set("count", silent.Count);
                Set("since", Moment(silent.Since));
                break;
            case HubBack back:
                Set("silent_since", Moment(back.SilentSince));
                Set("back", back.Back);
                Set("still_silent", back.StillSilent);
                break;
            case ClockWrong wrong:
                Set("off_by_minutes", Whole(Math.Abs(wrong.OffBy.TotalMinutes)));
                Set("ahead", wrong.OffBy > TimeSpan.Zero);
                break;
            case DiskLow low:
                Set("free_mb", low.FreeMb.ToString(CultureInfo.InvariantCulture));
                break;
            case AlertPathDead dead:
                Set("since", Moment(dead.Since));
                break;
            default:
                throw new InvalidOperationException($"The kind {occasion.Kind} has no facts for its words yet.");
        }
    }

    private void SetLevel(Level level)
    {
        Set("level", LevelWord(level));
        Set("level_number", (int)level);
    }

    private void SetCover(string product, double rainMm, DateOnly sprayedOn, int nameLength)
    {
        Set("product", Shorten(product, nameLength));
        Set("rain", Rain(rainMm));
        Set("sprayed_on", Day(sprayedOn));
    }

    private void SetSeries(string series, Quantity quantity, int nameLength)
    {
        var key = quantity.Word();
        Set("series", Shorten(at.Names.Series(series) ?? AlertNames.TopicOf(series), nameLength));
        Set("quantity", words.Word("quantity." + key));
        Set("quantity_key", key);
    }

    /// <summary>The other rules' levels where one of them judges otherwise; <c>null</c> where all agree.</summary>
    private string? Others(LevelRisen risen)
    {
        var others = risen
            .Opinions.Where(opinion => opinion.Key != risen.Rule)
            .OrderBy(opinion => opinion.Key, StringComparer.Ordinal)
            .ToList();
        return others.All(opinion => opinion.Value == risen.To)
            ? null
            : string.Join(", ", others.Select(opinion => $"{opinion.Key} {LevelWord(opinion.Value)}"));
    }

    private string LevelWord(Level level) => words.Word("level." + level.Word());

    private string Day(DateOnly day) => Fill(words.Word("date"), day);

    private string Fill(string pattern, DateOnly day) => pattern
        .Replace("{weekday}", Nth("weekdays", ((int)day.DayOfWeek + 6) % 7, 7), StringComparison.Ordinal)
        .Replace("{day}", day.Day.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal)
        .Replace("{month}", Nth("months", day.Month - 1, 12), StringComparison.Ordinal);

    private string Nth(string list, int index, int count)
    {
        var names = words.Word(list).Split(' ', StringSplitOptions.RemoveEmptyEntries);
        return names.Length == count
            ? names[index]
            : throw new WordsProblemException(
                $"{words.Name}: '{list}' has {names.Length} names but needs {count}; set a space between them and none within.");
    }

    private string? Tenths(double? value) => value is { } v ? Decimal(v.ToString("0.0", CultureInfo.InvariantCulture)) : null;

    private string? Rain(double? mm) => mm is { } v ? Decimal(units.Rain(v)) : null;

    private string? Temperature(double? celsius) => celsius is { } v ? Decimal(units.Temperature(v)) : null;

    private string Decimal(string number) => number.Replace(".", words.Word("decimal"), StringComparison.Ordinal);

    private static string Whole(double value) => Math.Floor(value).ToString("0", CultureInfo.InvariantCulture);

    private void Set(string name, string? value) => _values[name] = value is null ? BooleanValue.False : new StringValue(value);

    private void Set(string name, bool value) => _values[name] = value ? BooleanValue.True : BooleanValue.False;

    private void Set(string name, int value) => _values[name] = NumberValue.Create(value);
}
