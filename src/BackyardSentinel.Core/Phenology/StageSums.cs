using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>The sums of one season: chill and warmth of the earliest, the expected and the latest tree.</summary>
internal sealed class StageSums
{
    /// <summary>
    /// The most that an hour without a measurement can have brought beside what lay in store, portions. No recorded stretch
    /// of hours gained more than a third of a portion over one in 30 h; the constants of the model allow one in 25.8 h.
    /// ASSUMED.
    /// </summary>
    public const double PortionsAnHour = 1.0 / 30;

    /// <summary>Portions that a hole brings beside the hours and the store with which it began. ASSUMED.</summary>
    public const double PortionsOfAHole = 1;

    /// <summary>After more hours than this without a measurement the model's intermediate product is forgotten.</summary>
    private const int HoursToForget = 24;

    /// <summary>What a hole leaves of the usual year's chill for the latest tree. ASSUMED.</summary>
    private const double ShareOfUsualChill = 0.7;

    private readonly StageNeeds _needs;

    // What was measured; the same with what stands in for the rest; the usual year where nothing was measured.
    private readonly DynamicModel _measured, _filled, _usual;
    private int _unknownHours;
    private double _portionsOwed;

    public StageSums(StageNeeds needs)
        : this(needs, new DynamicModel(), new DynamicModel(), new DynamicModel())
    {
    }

    private StageSums(StageNeeds needs, DynamicModel measured, DynamicModel filled, DynamicModel usual)
    {
        (_needs, _measured, _filled, _usual) = (needs, measured, filled, usual);
        Earliest = new StageTrack(needs, StageBound.Earliest);
        Expected = new StageTrack(needs, StageBound.Expected);
        Latest = new StageTrack(needs, StageBound.Latest);
    }

    private StageSums(StageSums other)
    {
        (_needs, _measured, _filled, _usual) = (other._needs, other._measured.Copy(), other._filled.Copy(), other._usual.Copy());
        (_unknownHours, _portionsOwed, Unfilled) = (other._unknownHours, other._portionsOwed, other.Unfilled);
        (Earliest, Expected, Latest) = (other.Earliest.Copy(), other.Expected.Copy(), other.Latest.Copy());
    }

    public StageTrack Earliest { get; }

    public StageTrack Expected { get; }

    public StageTrack Latest { get; }

    public StageTrack[] Tracks => [Earliest, Expected, Latest];

    /// <summary>Hours in which chill counts and for which nothing stood in: the expected sum of chill lacks them.</summary>
    public int Unfilled { get; private set; }

    /// <summary>The next season: all sums at 0, the dynamic model's intermediate product carried on.</summary>
    public StageSums NextSeason() => new(_needs, _measured, _filled, _usual) { _unknownHours = _unknownHours };

    /// <summary>The season begins in a hole: nobody knows what lies in store.</summary>
    public void BeginUnknown()
    {
        _measured.StartWith(1);
        _filled.StartWith(1);
        _usual.StartWith(1);
    }

    public StageSums Copy() => new(this);

    /// <summary>
    /// Adds an hour whose temperature is known; before chill counts it only moves the dynamic model's intermediate product.
    /// </summary>
    public void Add(DateOnly day, DateTimeOffset end, double tempC, bool chillCounts, double? lengtheningHours)
    {
        if (_unknownHours > 0)
        {
            if (_unknownHours > HoursToForget)
                _measured.StartWith(0);
            (_unknownHours, _portionsOwed) = (0, 0);
        }

        var step = DynamicModel.StepAt(tempC);
        var ofMeasured = _measured.Add(step);
        var ofFilled = _filled.Add(step);
        _usual.Add(step);
        var heat = GrowingDegreeHours.Of(_needs.Heat, tempC);
        var other = chillCounts && _needs.Chill != ChillModel.Portions ? UnitsOf(tempC) : 0;
        var portions = chillCounts && _needs.Chill == ChillModel.Portions;
        Earliest.Add(day, end, portions ? ofMeasured : other, heat, lengtheningHours);
        Expected.Add(day, end, portions ? ofFilled : other, heat, lengtheningHours);
        Latest.Add(day, end, portions ? ofMeasured : other, heat, lengtheningHours);
    }

    /// <summary>Adds an hour that was not measured.</summary>
    /// <param name="day">Its local day.</param>
    /// <param name="end">Its end, UTC.</param>
    /// <param name="newHole">A hole begins with it.</param>
    /// <param name="mostHeat">The most warmth that it can have brought, degree hours.</param>
    /// <param name="likelyC">What stands in for it, °C; <c>null</c>: nothing.</param>
    /// <param name="usualC">What is usual then, °C; <c>null</c>: not known.</param>
    /// <param name="chillCounts">Whether chill counts.</param>
    /// <param name="lengtheningHours">Length of the day where days lengthen, h.</param>
    public void AddUnknown(
        DateOnly day,
        DateTimeOffset end,
        bool newHole,
        double mostHeat,
        double? likelyC,
        double? usualC,
        bool chillCounts,
        double? lengtheningHours)
    {
        var portions = _needs.Chill == ChillModel.Portions;
        if (newHole && portions)
            _portionsOwed += _measured.Intermediate + PortionsOfAHole;
        _unknownHours++;
        var most = 0.0;
        if (chillCounts)
            (most, _portionsOwed) = (portions ? PortionsAnHour + _portionsOwed : 1, 0);
        Earliest.Add(day, end, most, mostHeat, lengtheningHours);

        var (likely, likelyHeat) = likelyC is { } c ? (Chill(_filled, c), GrowingDegreeHours.Of(_needs.Heat, c)) : (0, 0);
        if (likelyC is null)
        {
            if (_unknownHours > HoursToForget)
                _filled.StartWith(0);
            Unfilled += chillCounts ? 1 : 0;
        }

        Expected.Add(day, end, chillCounts ? likely : 0, likelyHeat, lengtheningHours);

        var least = usualC is { } u ? Chill(_usual, u) : 0;
        Latest.Add(day, end, chillCounts ? Math.Min(least, least * ShareOfUsualChill) : 0, 0, lengtheningHours);
    }

    private double Chill(DynamicModel model, double tempC)
    {
        var portion = model.Add(DynamicModel.StepAt(tempC));
        return _needs.Chill == ChillModel.Portions ? portion : UnitsOf(tempC);
    }

    private double UnitsOf(double tempC) => _needs.Chill switch
    {
        ChillModel.Utah => ChillUnits.Utah(tempC),
        ChillModel.PositiveUtah => ChillUnits.PositiveUtah(tempC),
        ChillModel.Hours => ChillUnits.ChillingHour(tempC),
        // Portions are made over days, not of one temperature.
        ChillModel.Portions => throw new System.Diagnostics.UnreachableException(),
    };
}
