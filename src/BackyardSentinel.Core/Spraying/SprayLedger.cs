using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Spraying;

/// <summary>
/// One site's sprays, with the copper each one brought. The order in which entries are handed in does not matter, and
/// nothing that cannot be counted is counted as nothing: it becomes a finding.
/// </summary>
public sealed class SprayLedger
{
    /// <summary>Depth of soil that the copper is spread over, m.</summary>
    public const double SoilDepthM = 0.2;

    private readonly IReadOnlyDictionary<string, double> _canopyAreaM2;
    private readonly Func<DateOnly, int> _seasonOf;
    private readonly double _soilBulkDensityTPerM3;
    private readonly UnitSystem _units;
    private readonly List<Sentence> _findings = [];

    /// <summary>Makes up the ledger.</summary>
    /// <param name="entries">Sprays of one site, in any order.</param>
    /// <param name="products">The products of the garden file.</param>
    /// <param name="canopyAreaM2">Ground under each planting's canopies, m², above 0, by planting id; plantings may be missing.</param>
    /// <param name="seasonOf">The season that a local day belongs to.</param>
    /// <param name="soilBulkDensityTPerM3">Bulk density of the soil, t/m³, 0.1–2.65; 1.3 unless set (assumed, a mineral garden
    /// soil).</param>
    /// <param name="units">The units in which findings are told; metric unless given.</param>
    /// <param name="isInGarden">A planting is in the garden file still; <c>null</c>: all are.</param>
    public SprayLedger(
        IEnumerable<SprayEntry> entries,
        IEnumerable<SprayProduct> products,
        IReadOnlyDictionary<string, double> canopyAreaM2,
        Func<DateOnly, int> seasonOf,
        double soilBulkDensityTPerM3 = 1.3,
        UnitSystem? units = null,
        Func<string, bool>? isInGarden = null)
    {
        if (soilBulkDensityTPerM3 is not (>= 0.1 and <= 2.65))
            throw new ArgumentOutOfRangeException(
                nameof(soilBulkDensityTPerM3),
                soilBulkDensityTPerM3,
                "A bulk density must lie within 0.1 to 2.65 t/m³.");
        if (canopyAreaM2.Any(area => !(area.Value > 0) || double.IsInfinity(area.Value)))
            throw new ArgumentOutOfRangeException(nameof(canopyAreaM2), "A canopy area must lie above 0 m².");
        (_canopyAreaM2, _seasonOf, _soilBulkDensityTPerM3, _units) = (
            canopyAreaM2,
            seasonOf,
            soilBulkDensityTPerM3,
            units ?? UnitSystem.Metric);

        var known = products.ToDictionary(product => product.Id, StringComparer.Ordinal);
        SprayEntry[] sorted =
        [
            .. entries.OrderBy(entry => entry.On).ThenBy(entry => entry.At ?? new TimeOnly(12, 0)).ThenBy(entry => entry.Number),
        ];
        Applications = [.. sorted.Select(entry => Count(entry, known)).OfType<SprayApplication>()];
        FindTwins(sorted);
        FindMissingAreas(isInGarden ?? (_ => true));
    }

    /// <summary>The sprays that could be read, by day.</summary>
    public IReadOnlyList<SprayApplication> Applications { get; }

    /// <summary>What is odd in the entries, a sentence each.</summary>
    public IReadOnlyList<Sentence> Findings => _findings;

    /// <summary>The season that a local day belongs to.</summary>
    public int SeasonOf(DateOnly day) => _seasonOf(day);

    /// <summary>First day of the season that a day belongs to.</summary>
    public DateOnly SeasonStart(DateOnly day)
    {
        var season = _seasonOf(day);
        for (var days = 0; days < 400 && day > DateOnly.MinValue && _seasonOf(day.AddDays(-1)) == season; days++)
            day = day.AddDays(-1);
        return day;
    }

    /// <summary>A planting's sprays of one season up to a day.</summary>
    public IEnumerable<SprayApplication> InSeason(string planting, DateOnly upTo) =>
        UpTo(planting, upTo).Where(application => _seasonOf(application.Entry.On) == _seasonOf(upTo));

    /// <summary>The copper a planting has received up to and including a day.</summary>
    public CopperBalance Balance(string planting, DateOnly upTo)
    {
        var season = _seasonOf(upTo);
        var all = UpTo(planting, upTo).ToList();
        var seasonG = Sum(all.Where(application => _seasonOf(application.Entry.On) == season));
        var sevenYearG = Sum(all.Where(application => _seasonOf(application.Entry.On) > season - 7));
        return new CopperBalance(
            seasonG,
            KgPerHa(planting, seasonG),
            sevenYearG,
            KgPerHa(planting, sevenYearG),
            SoilMgPerKg(planting, Sum(all)))
        {
            Uncounted = all.Count(application =>
                application.CopperG is null && application.Product.Active.IsCopper() && _seasonOf(application.Entry.On) > season - 7),
        };
    }

    /// <summary>What a product's label still allows on a planting.</summary>
    public LabelAllowance Allowance(SprayProduct product, string planting, DateOnly on)
    {
        var season = InSeason(planting, on).ToList();
        int? applications = product.Label.MaxApplicationsPerSeason is { } most
            ? Math.Max(0, most - season.Count(application => application.Product.Id == product.Id))
            : null;
        var copper = product.Label.MaxCopperKgPerHaPerSeason - KgPerHa(planting, Sum(season));
        // Two coppers of different names are one copper to the tree.
        var last = UpTo(planting, on).LastOrDefault(application =>
            application.Product.Id == product.Id || (application.Product.Active.IsCopper() && product.Active.IsCopper()));
        DateOnly? next = product.Label.MinDaysBetween is { } days && last is not null ? last.Entry.On.AddDays(days) : null;
        return new LabelAllowance(applications, copper, next);
    }

    /// <summary>An amount over a planting's canopy area, kg/ha; <c>null</c>: area not known. 1 g/m² is 10 kg/ha.</summary>
    public double? KgPerHa(string planting, double copperG) =>
        _canopyAreaM2.TryGetValue(planting, out var area) ? copperG / area * 10 : null;

    private double? SoilMgPerKg(string planting, double copperG) =>
        _canopyAreaM2.TryGetValue(planting, out var area) ? copperG * 1000 / (area * SoilDepthM * _soilBulkDensityTPerM3 * 1000) : null;

    private static double Sum(IEnumerable<SprayApplication> applications) => applications.Sum(application => application.CopperG ?? 0);

    private IEnumerable<SprayApplication> UpTo(string planting, DateOnly day) =>
        Applications.Where(application => application.Entry.Planting == planting && application.Entry.On <= day);

    private SprayApplication? Count(SprayEntry entry, Dictionary<string, SprayProduct> known)
    {
        if (!known.TryGetValue(entry.Product, out var product))
            return Refuse($"{Place(entry)} names the product {new Name(entry.Product)}, which the garden file does not have; "
                + $"add it there so that it counts.");
        if (!(entry.VolumeL > 0) || double.IsInfinity(entry.VolumeL))
            return Refuse($"{Place(entry)} has a volume of {new Figure(_units.Volume(entry.VolumeL))}; it must lie above 0, "
                + $"so it is not counted.");
        if (entry.DosePerL is { } noted && (!(noted > 0) || double.IsInfinity(noted)))
            return Refuse($"{Place(entry)} has a dose of {noted}; it must lie above 0, so it is not counted.");

        var copperG = product.Active.IsCopper() ? entry.VolumeL * (entry.DosePerL ?? product.DosePerL) * product.CopperGPerUnit : 0;
        if (copperG is null)
            _findings.Add(
                product.CopperGPerUnit is null
                    ? (Sentence)$"{Place(entry)} has a copper that cannot be counted: the product's content or density is not known."
                    : $"{Place(entry)} has a copper that cannot be counted: the dose is not known.");
        return copperG is { } g
            ? new SprayApplication(entry, product, g, KgPerHa(entry.Planting, g), SoilMgPerKg(entry.Planting, g))
            : new SprayApplication(entry, product, null, null, null);

        SprayApplication? Refuse(Sentence why)
        {
            _findings.Add(why);
            return null;
        }
    }

    private static Sentence Place(SprayEntry entry) =>
        $"Journal entry {entry.Number}, spray on {new Name(entry.Planting)} on {LocalTime.Of(entry.On, TimeForm.Written)},";

    private void FindTwins(IEnumerable<SprayEntry> sorted)
    {
        foreach (var day in sorted.GroupBy(entry => (entry.Planting, entry.Product, entry.On)).Where(group => group.Count() > 1))
            _findings.Add(
                $"Journal entries {Numbers(day)} tell of the same spray, {new Name(day.Key.Product)} on {new Name(day.Key.Planting)} "
                    + $"on {LocalTime.Of(day.Key.On, TimeForm.Written)}; all are counted, so if it was one, its copper counts more "
                    + $"than once.");
    }

    private static Sentence Numbers(IEnumerable<SprayEntry> entries) =>
        entries.Select(entry => (Sentence)$"{entry.Number}").Aggregate((one, other) => $"{one} and {other}");

    private void FindMissingAreas(Func<string, bool> isInGarden)
    {
        foreach (
            var planting in Applications
                .Where(application => application.CopperG > 0)
                .Select(application => application.Entry.Planting)
                .Distinct())
        {
            if (isInGarden(planting) && !_canopyAreaM2.ContainsKey(planting))
                _findings.Add(
                    $"Planting {new Name(planting)} has no canopy area, so its copper cannot be set against what the label allows for "
                        + $"an area; add canopy_area to the garden file.");
        }
    }
}
