using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Storage;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Plan;

/// <summary>What the grower asked to be planned.</summary>
/// <param name="Garden">Path of the garden file.</param>
/// <param name="Site">The site's id; <c>null</c>: the only one.</param>
/// <param name="At">The moment, as it was written; <c>null</c>: now.</param>
/// <param name="Forecast">Path of a forecast; <c>null</c>: the last one the service took in.</param>
/// <param name="Journal">Path of a journal; <c>null</c>: the store's.</param>
/// <param name="Mix">The product to mix, if any.</param>
/// <param name="Volume">The mixture's amount, as it was written; <c>null</c>: the plantings' own.</param>
public sealed record PlanWish(string Garden, string? Site, string? At, string? Forecast, string? Journal, string? Mix, string? Volume)
{
    /// <summary>Makes the plan.</summary>
    /// <param name="now">Now, where no other moment is wished for.</param>
    /// <exception cref="GardenProblemException">The garden file cannot be used.</exception>
    /// <exception cref="CommandProblemException">The wish cannot be met.</exception>
    /// <exception cref="StoreException">The store or the journal cannot be read.</exception>
    public PlanResult Fulfil(DateTimeOffset now)
    {
        var garden = GardenProblemException.Read(Garden);
        var site = Place(garden);
        var at = Moment(site) ?? now;
        double? volumeL = Volume is null ? null : AmountText.Parse(Volume, Dimension.Volume) is > 0 and var litres
            ? litres
            : throw new CommandProblemException($"--volume: \"{Volume}\" is no amount of spray; write it like \"5 L\" or \"1.5 gal\".");
        if (Volume is not null && Mix is null)
            throw new CommandProblemException("--volume says how much to mix; name the product with --mix.");
        if (Forecast is not null && !File.Exists(Forecast))
            throw new CommandProblemException($"--forecast: there is no file {Forecast}.");

        List<string> findings = [];
        var journal = Journal is null ? null : JournalFile.Read(Journal, site.Id, findings);
        var season = StoredSeason.Load(garden, at, journal, findings, only: site.Id);
        var watch = season.Watches[site.Id];
        var entries = Past(season.Journal, site, LocalDay.Of(at, site.Zone), findings);
        var forecast = Forecast is null ? season.Forecast : PlanForecast.Read(Forecast, garden.Forecast, at, findings);
        forecast = forecast is null ? null : PlanForecast.Sound(forecast, at, site.Zone, findings);

        var request = SitePlan.Request(watch, entries, forecast, at);
        var plan = SprayPlanner.Plan(request);
        List<Sentence> against = [.. request.Ledger.Findings];
        var mix = Mix is null ? null : Mixed(request, plan, Mix, volumeL, against);
        findings.AddRange(against.Select(one => one.Text));
        return new PlanResult(garden.Name, site, watch, request, plan, UnfitHours.Of(request, plan), mix, findings);
    }

    private static PlanMix? Mixed(PlanRequest request, SprayPlan plan, string id, double? volumeL, List<Sentence> findings)
    {
        var product = request.Products.FirstOrDefault(one => one.Id == id)
            ?? throw new CommandProblemException(
                $"--mix: the garden file has no product {id}; "
                    + $"it has {(request.Products.Count == 0 ? "none" : string.Join(", ", request.Products.Select(one => one.Id)))}.");
        var mix = PlanMix.For(request, plan, product, volumeL, findings, out var unsized);
        return unsized is null
            ? mix
            : throw new CommandProblemException(
                $"--mix: {unsized.Id} has no spray_volume in the garden file; say how much with --volume, such as --volume \"5 L\".");
    }

    private Site Place(GardenFile garden)
    {
        var names = string.Join(", ", garden.Sites.Select(site => site.Id));
        if (Site is null && garden.Sites.Count > 1)
            throw new CommandProblemException($"{Garden} has {garden.Sites.Count} sites ({names}); say which with --site.");
        return garden.Sites.FirstOrDefault(site => Site is null || site.Id == Site)
            ?? throw new CommandProblemException($"{Garden} has no site {Site}; it has {names}.");
    }

    private DateTimeOffset? Moment(Site site)
    {
        if (At is null)
            return null;
        var reader = new MomentText(site.Zone, site.Units);
        var time = reader.Read(At, out var skipped);
        if (skipped)
            throw new CommandProblemException($"--at: the clocks of {site.Zone.Id} skip {At}; choose a time before or after.");
        return time
            ?? throw new CommandProblemException(
                $"--at: \"{At}\" is no time such as 2027-01-15T08:00:00Z, or 2027-01-15T09:00 by the site's clock{reader.Example}.");
    }

    /// <summary>What had been done and seen by then; an entry of a later day cannot have been.</summary>
    private static JournalEntry[] Past(IReadOnlyList<JournalEntry> journal, Site site, DateOnly today, List<string> findings)
    {
        foreach (var entry in journal.Where(entry => entry.Site == site.Id))
        {
            if (entry.On > today)
                findings.Add(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"Journal entry {entry.Number} on {entry.Planting} is of {entry.On:yyyy-MM-dd}, after the day of this plan, "
                            + $"{today:yyyy-MM-dd}; it does not count."));
        }

        return
        [
            .. journal.Where(entry =>
                entry.Site == site.Id && entry.On <= today && site.Has(entry.Planting)),
        ];
    }
}
