namespace BackyardSentinel.Phenology;

/// <summary>The sums of one season: its chill, and the early, the expected and the late track.</summary>
internal sealed class StageSums
{
    private readonly StageNeeds needs;
    private readonly DynamicModel dynamic;

    public StageSums(StageNeeds needs)
        : this(needs, new DynamicModel())
    {
    }

    private StageSums(StageNeeds needs, DynamicModel dynamic)
    {
        (this.needs, this.dynamic) = (needs, dynamic);
        Early = new StageTrack(needs, 1 - needs.Spread);
        Expected = new StageTrack(needs, 1);
        Late = new StageTrack(needs, 1 + needs.Spread);
    }

    private StageSums(StageSums other)
    {
        (needs, dynamic, ChillSum) = (other.needs, other.dynamic.Copy(), other.ChillSum);
        (Early, Expected, Late) = (other.Early.Copy(), other.Expected.Copy(), other.Late.Copy());
    }

    /// <summary>Chill since it began to count, in the needs' units; Utah units can take it below 0.</summary>
    public double ChillSum { get; private set; }

    public StageTrack Early { get; }

    public StageTrack Expected { get; }

    public StageTrack Late { get; }

    public StageTrack[] Tracks => [Early, Expected, Late];

    /// <summary>The next season: all sums at 0, the dynamic model's intermediate product carried on.</summary>
    public StageSums NextSeason() => new(needs, dynamic);

    public StageSums Copy() => new(this);

    /// <summary>Adds an hour; before chill counts it only moves the dynamic model's intermediate product.</summary>
    public void Add(DateOnly day, in HourTemperature hour, bool chillCounts)
    {
        var portion = dynamic.Add(hour.TempC);
        if (chillCounts)
        {
            ChillSum += needs.Chill switch
            {
                ChillModel.Portions => portion,
                ChillModel.Utah => ChillUnits.Utah(hour.TempC),
                ChillModel.PositiveUtah => ChillUnits.PositiveUtah(hour.TempC),
                _ => ChillUnits.ChillingHour(hour.TempC),
            };
        }

        var heat = GrowingDegreeHours.Of(needs.Heat, hour.TempC);
        Early.Add(day, hour.End, ChillSum, heat);
        Expected.Add(day, hour.End, ChillSum, heat);
        Late.Add(day, hour.End, ChillSum, heat);
    }
}
