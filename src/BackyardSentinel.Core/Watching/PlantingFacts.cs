using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Watching;

/// <summary>What a plan must know of one planting, from the watch over it and its own journal entries up to a day.</summary>
internal sealed class PlantingFacts(
    PlantingWatch watched,
    IReadOnlyList<SprayProduct> products,
    IEnumerable<JournalEntry> journal,
    SeasonCalendar calendar,
    DateOnly today)
{
    /// <summary>Where nothing was measured, bare buds and falling leaves are believed for so many days. ASSUMED.</summary>
    private const int DaysBelieved = 7;

    private readonly JournalEntry[] _entries = [.. journal.Where(entry => entry.Planting == watched.Planting.Id)];

    /// <summary>The facts; what is not known is noted.</summary>
    public PlanPlanting Of(SwellOutlook outlook, ICollection<Sentence> notes)
    {
        var planting = watched.Planting;
        var (cover, rainMm) = Cover(notes);
        return new PlanPlanting
        {
            Id = planting.Id,
            Name = planting.Name,
            Kind = planting.Kind,
            Trees = planting.Trees,
            Stage = watched.Stage.Code ?? SeenStage(),
            StageIsSeen = watched.Stage.Code is null || watched.Stage.Source == StageSource.Logged,
            BudSwell = Swell(outlook, notes),
            CurlLastSpring = CurlLastSpring(),
            LeafFall = LeafFall(),
            Cover = cover,
            CoverRainMm = rainMm,
            SprayVolumeL = planting.SprayVolumeL,
            ShelteredSince = Shelter.LastOrDefault() is { IsOn: true } on && calendar.SeasonOf(on.On) == calendar.SeasonOf(today)
                ? on.On
                : null,
            UsesShelter = Shelter.Any(entry => calendar.SeasonOf(entry.On)!.Value.Year >= calendar.SeasonOf(today)!.Value.Year - 1),
        };
    }

    /// <summary>
    /// When the buds will swell; <c>null</c> where stages are not followed or nothing can be said, and then why is noted.
    /// </summary>
    private ExpectedSwell? Swell(SwellOutlook outlook, ICollection<Sentence> notes)
    {
        if (watched.Stage.Model is not { } model)
            return null;
        if (NeedsDoubt.Of(model) is { } unfit)
            notes.Add($"{new Name(watched.Planting.Id)}: {unfit}");
        var swell = outlook.Expect(model, _entries.OfType<StageEntry>());
        if (ExpectedSwell.Of(swell) is { } expected)
            return expected;
        notes.Add($"{new Name(watched.Planting.Called)}: {swell.Basis}");
        return null;
    }

    /// <summary>
    /// The last stage of the journal, where the watch knows none: buds that have moved stay moved for the season, but
    /// bare buds and falling leaves are believed for some days only.
    /// </summary>
    private int? SeenStage()
    {
        if (_entries.OfType<StageEntry>().OrderBy(entry => entry.On).ThenBy(entry => entry.Number).LastOrDefault() is not { } seen)
            return null;
        var season = calendar.SeasonOf(today)!.Value;
        return seen.Code is > 0 and < 90
            ? seen.On >= season.ChillFrom ? seen.Code : null
            : today < seen.On.AddDays(DaysBelieved) ? seen.Code : null;
    }

    private IEnumerable<ShelterEntry> Shelter => _entries.OfType<ShelterEntry>().OrderBy(entry => entry.On).ThenBy(entry => entry.Number);

    private bool? CurlLastSpring()
    {
        var lastSpring = calendar.SeasonOf(today)!.Value.Year - 1;
        var scouted = _entries.OfType<ScoutEntry>().Where(entry => calendar.SeasonOf(entry.On)!.Value.Year == lastSpring).ToList();
        return scouted.Count > 0 ? scouted.Any(entry => entry.Curled > 0) : watched.Planting.HadCurlLastSpring ? true : null;
    }

    /// <summary>The last note of leaf fall; the BBCH stages 95 and 97 are half and all of the leaves down.</summary>
    private LeafFallEntry? LeafFall() => _entries
        .Select(entry => entry switch
        {
            LeafFallEntry fall => fall,
            StageEntry { Code: 95 } stage => new LeafFallEntry(stage.Number, stage.Site, stage.Planting, stage.On, 50),
            StageEntry { Code: 97 } stage => new LeafFallEntry(stage.Number, stage.Site, stage.Planting, stage.On, 100),
            _ => null,
        })
        .OfType<LeafFallEntry>().OrderBy(fall => fall.On).ThenBy(fall => fall.Number).LastOrDefault();

    /// <summary>The watch's cover; a spray that no weather was watched after is one to look at.</summary>
    private (Cover Cover, double? RainMm) Cover(ICollection<Sentence> notes)
    {
        if (watched.Cover.Last is { } seen)
            return watched.Cover.IsMeasured || watched.Cover.Cover == Garden.Cover.Spent
                ? (watched.Cover.Cover, watched.Cover.RainMm)
                : LookAt(seen, notes);
        var protecting = products
            .Where(product => product.Active.GivesCover())
            .Select(product => product.Id)
            .ToHashSet(StringComparer.Ordinal);
        if (_entries.OfType<SprayEntry>().Where(spray => protecting.Contains(spray.Product)).MaxBy(spray => spray.On) is not { } last)
            return (Garden.Cover.None, null);
        if (last.On == today)
            return (Garden.Cover.Fresh, null);
        return LookAt(last, notes);
    }

    private (Cover Cover, double? RainMm) LookAt(SprayEntry spray, ICollection<Sentence> notes)
    {
        notes.Add(
            $"{new Name(watched.Planting.Called)}: the rain since the spray on {spray.On} is not known, "
                + $"so its cover counts as one to look at.");
        return (Garden.Cover.Recheck, null);
    }
}
