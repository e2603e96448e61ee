using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>
/// Which sprays the time of year asks for. The late-winter spray, before leaf buds swell, is the one not to miss; a
/// leaf-fall spray comes on top where the tree had curl last spring or the winter is wet. Sources disagree on both (one
/// spray is enough, or two to three; autumn first, or late winter first), so this middle way is assumed.
/// </summary>
internal sealed class DueRules(PlanRequest request, PlanSpan span)
{
    /// <summary>Days after leaf fall within which its spray is due. Assumed.</summary>
    private const int LeafFallDays = 30;

    /// <summary>Days into the season up to which a tree of unknown stage may be bare. Assumed.</summary>
    private const int LastBareDay = 210;

    /// <summary>A spray counts as the late-winter spray from so many days before the early date of bud swell. Assumed.</summary>
    public const int LateWinterDays = 42;

    /// <summary>
    /// A spray that no rain has worn stays the late-winter spray where the buds swell so many days later than was expected: springs of
    /// one place differ by as much. Assumed.
    /// </summary>
    private const int LaterSpringDays = 21;

    /// <summary>Days into the season from which it counts where no bud swell is expected yet. Assumed.</summary>
    private const int LateWinterDay = 120;

    public IReadOnlyList<DueSpray> For(PlanPlanting planting)
    {
        var today = span.Today;
        var seasonStart = request.Ledger.SeasonStart(today);
        var fallen = Foliage.Noted(planting, seasonStart, today);
        var swelling = planting.Stage is { } code && SprayStage.Rank(code) is 1 or 2;
        if (!swelling && !MayBeBare(planting, today.DayNumber - seasonStart.DayNumber, fallen is not null))
            return []; // In leaf, or buds too far: nothing sprayed now works.

        var safe = planting.BudSwell?.Early;
        var sprayed = request.Ledger.InSeason(planting.Id, today).Any(application => application.Product.Active.IsFungicide());
        if (planting.Sheltered)
            return []; // Rain does not reach it, and what rain does not reach needs no spray.
        if (!sprayed && WhyShelter(planting) is { } reason)
            return [ShelterDue(planting, fallen, seasonStart, swelling, reason)];

        var lateFrom = safe?.AddDays(-LateWinterDays) ?? seasonStart.AddDays(LateWinterDay);
        var autumnFrom = fallen?.On ?? seasonStart.AddDays(Foliage.FirstBareDay);
        var days = request.Ledger.InSeason(planting.Id, today)
            .Where(application => application.Product.Active.IsFungicide() && application.Entry.On >= autumnFrom)
            .Select(application => application.Entry.On).ToList();
        var nearly = safe is null ? lateFrom : lateFrom.AddDays(-LaterSpringDays);
        var counted = planting.Cover == Cover.Fresh ? nearly : lateFrom;
        var (autumnDone, lateDone) = (days.Any(day => day < counted), days.Any(day => day >= counted));

        var due = new List<DueSpray>();
        if (!autumnDone && !lateDone && !swelling && today < lateFrom && WhyLeafFall(planting) is { } why)
            due.Add(LeafFallSpray(fallen, seasonStart, safe, why));
        if (!lateDone)
            due.Add(LateWinterSpray(planting, swelling, days.Where(day => day >= nearly).Cast<DateOnly?>().LastOrDefault()));
        else if (!swelling)
            due.AddRange(Repeat(planting));
        return due;
    }

    private static bool MayBeBare(PlanPlanting planting, int dayOfSeason, bool leavesFall) =>
        planting.Stage is { } code ? SprayStage.IsDormant(code) : leavesFall || dayOfSeason is >= Foliage.FirstBareDay and <= LastBareDay;

    private Sentence? WhyLeafFall(PlanPlanting planting)
    {
        if (planting.CurlLastSpring == true)
            return $"it had curl last spring";
        return request.RainLast60DaysMm >= WinterRain.WetMm
            ? (Sentence)$"the last 60 days brought {new Figure(request.Units.Rain(Math.Round(request.RainLast60DaysMm.Value)))} of rain"
            : null;
    }

    private DueSpray LeafFallSpray(LeafFallEntry? fallen, DateOnly seasonStart, DateOnly? safe, Sentence why)
    {
        var by = (fallen?.On ?? seasonStart.AddDays(Foliage.GuessedFallDay)).AddDays(LeafFallDays);
        if (by > safe)
            by = safe.Value;
        Sentence when = fallen switch
        {
            null => $"leaf fall is not in the journal, its date is guessed from the calendar",
            { FallenPct: < Foliage.EnoughFallenPct } => Foliage.Wait(fallen),
            _ => Foliage.Down(fallen),
        };
        return new DueSpray(DueTask.LeafFall, Soonest(by), Overdue(by) is { } late ? (Sentence)$"{why}; {when}; {late}" : $"{why}; {when}")
        {
            // Fewer leaves down than half: noted, but not yet time; nobody knows when it will be.
            From = fallen switch
            {
                null => seasonStart.AddDays(Foliage.GuessedFallDay),
                { FallenPct: < Foliage.EnoughFallenPct } => by,
                _ => fallen.On,
            },
            FromIsGuessed = fallen is null or { FallenPct: < Foliage.EnoughFallenPct },
        };
    }

    private Sentence? WhyShelter(PlanPlanting planting)
    {
        if (planting.UsesShelter)
            return $"one was over it this season or the last";
        return request.Products.Any(product =>
            product.Active.IsFungicide() && !product.Label.ExcludedKinds.Contains(planting.Kind))
            ? null
            : (Sentence)$"the garden file has no product against curl for it";
    }

    /// <summary>
    /// From leaf fall, at the latest before bud swell, until the infection season is over: public garden advice says November to the
    /// middle of May.
    /// </summary>
    private DueSpray ShelterDue(PlanPlanting planting, LeafFallEntry? fallen, DateOnly seasonStart, bool swelling, Sentence reason)
    {
        var noted = fallen is { FallenPct: >= Foliage.EnoughFallenPct };
        DateOnly? by = swelling ? span.Today : planting.BudSwell is { } swell ? Soonest(swell.Early) : null;
        var from = noted ? fallen!.On : seasonStart.AddDays(Foliage.GuessedFallDay);
        var when = swelling ? (Sentence)$"buds swell: put it up today; what rain has brought so far is not undone"
            : by is null ? $"from leaf fall, at the latest before the buds swell; when that will be is not known, "
                + $"so look at them every week"
            : planting.BudSwell!.Early < span.Today
                ? (Sentence)($"from leaf fall, at the latest before the earliest bud swell, {planting.BudSwell.Early}; that day has "
                    + $"passed: put it up today, what rain has brought since is not undone")
                : $"from leaf fall, at the latest before the earliest bud swell, {planting.BudSwell.Early}";
        return new DueSpray(
            DueTask.Shelter,
            by,
            $"{reason}; {when}. Leave it open at the sides for bees and air, and take it off when the infection season is over")
        {
            From = from > by ? by : from,
            FromIsGuessed = !noted,
        };
    }

    private DueSpray LateWinterSpray(PlanPlanting planting, bool swelling, DateOnly? tooEarly)
    {
        if (swelling)
            return new DueSpray(DueTask.LateWinter, span.Today, $"buds swell: the last moment, if the label allows it at this stage");
        if (planting.BudSwell is not { } swell)
            return new DueSpray(
                DueTask.LateWinter,
                null,
                $"before bud swell, the one spray not to miss; when that will be is not known, so look at the buds every week");
        Sentence why = $"before bud swell, the one spray not to miss; the early date is the safer one";
        if (tooEarly is { } day)
            why = $"{why}; that of {day} lies more than six weeks before it";
        return new DueSpray(
            DueTask.LateWinter, Soonest(swell.Early), Overdue(swell.Early) is { } late ? (Sentence)$"{why}; {late}" : why);
    }

    private IEnumerable<DueSpray> Repeat(PlanPlanting planting)
    {
        var rain = planting.CoverRainMm is { } mm
            ? (Sentence)$"{new Figure(request.Units.Rain(Math.Round(mm)))} of rain since the last spray"
            : $"rain since the last spray";
        DateOnly? by = planting.BudSwell is { } swell ? Soonest(swell.Early) : null;
        if (planting.Cover == Cover.Spent)
            yield return new DueSpray(
                DueTask.Repeat,
                by,
                $"{rain}: consider it if label, stage and copper allow; bark keeps longer than the figures, which come from leaves");
        else if (planting.Cover == Cover.Recheck)
            yield return new DueSpray(DueTask.LookAtCover, by, $"{rain}: see whether the spray is still on the bark");
    }

    private DateOnly Soonest(DateOnly day) => day < span.Today ? span.Today : day;

    private Sentence? Overdue(DateOnly day) =>
        day < span.Today ? (Sentence)$"{day} has passed: look at the buds, and spray only if they are still closed" : null;
}
