#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:property Optimize=true
#:package BenchmarkDotNet
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Times the parts that a season goes through millions of times, each by itself. In the checkout's top folder:
//   dotnet run -c Release tests/bench/kernels.cs -- --filter '*'          or one: '*Number*'; --list flat names them
using BackyardSentinel;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;
using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Running;
using BenchmarkDotNet.Toolchains.InProcess.Emit;

// In this process: a program of one file is no project that the harness could build again.
BenchmarkSwitcher
    .FromTypes([typeof(Kernels)])
    .Run(
        args,
        DefaultConfig.Instance.WithArtifactsPath("artifacts/kernels").AddJob(Job.ShortRun.WithToolchain(InProcessEmitToolchain.Instance)));

/// <summary>Each method does its work once.</summary>
[MemoryDiagnoser]
public class Kernels
{
    private static readonly DateTimeOffset Start = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly WeatherInterval Damp = new(Start, TimeSpan.FromMinutes(10), 9.5, 93, 1, 0.2, null, 0, 1, 1);

    private readonly LogTime _times = new(TimeZoneInfo.Utc);
    private readonly Site _site = new() { Id = "log", Plantings = [new Planting("peach")], HasRainGauge = true };
    private readonly WetHoursRule _rule = new("peach");
    private readonly DynamicModel _chill = new();
    private IntervalBuilder _intervals = null!;
    private WetnessJudge _wetness = null!;
    private SiteWatch _watch = null!;
    private long _minute;
    private double _hour;

    /// <summary>A watch with two days of damp air behind it, and parts that know nothing.</summary>
    [GlobalSetup]
    public void Begin()
    {
        (_intervals, _wetness) = (new IntervalBuilder(_site), new WetnessJudge(_site.Spell));
        _watch = new SiteWatch(_site, _ => { });
        for (var at = Start; at < Start.AddDays(2); at = at.AddMinutes(10))
        {
            _watch.Accept(new Reading(Quantity.Temperature, at, 9.5), at);
            _watch.Accept(new Reading(Quantity.Humidity, at, 93), at);
            _watch.Accept(new Reading(Quantity.Rain, at, 0.2), at);
        }
    }

    /// <summary>A number as loggers write it.</summary>
    [Benchmark]
    public double Number() => PlainDecimal.TryRead("-12.34", out var value) ? value : double.NaN;

    /// <summary>A time in the common form.</summary>
    [Benchmark]
    public DateTimeOffset TimeInUtc() => _times.TryRead("2027-02-01T06:00:00Z", out var time) ? time : default;

    /// <summary>A time that needs its zone.</summary>
    [Benchmark]
    public DateTimeOffset TimeWithoutZone() => _times.TryRead("2027-02-01 06:00:00", out var time) ? time : default;

    /// <summary>A minute's temperature on its way into an interval, and each tenth an interval.</summary>
    [Benchmark]
    public bool IntervalOfReadings()
    {
        var at = Start.AddMinutes(_minute++);
        _intervals.Add(new Reading(Quantity.Temperature, at, 9.5));
        return _intervals.TryTake(at.AddMinutes(-2), out _);
    }

    /// <summary>Whether an interval was wet.</summary>
    [Benchmark]
    public Wetness Wetness() => _wetness.Judge(Damp);

    /// <summary>An hour of chill, its temperature another each time.</summary>
    [Benchmark]
    public double ChillHour() => _chill.Add(_hour = (_hour + 0.37) % 15);

    /// <summary>An interval of a running spell, judged by a rule.</summary>
    [Benchmark]
    public Level Rule()
    {
        var spell = new WetSpell(Start, Start.AddHours(20), 20, 6, 9.5, 8, 11, false, false);
        _rule.Observe(new RuleInput(Damp, new Wetness(WetnessState.Wet, 1), spell, null, 1));
        return _rule.Level;
    }

    /// <summary>A minute's reading through the whole pipeline.</summary>
    [Benchmark]
    public QualityVerdict WholePipeline()
    {
        var at = Start.AddDays(2).AddMinutes(_minute++);
        return _watch.Accept(new Reading(Quantity.Temperature, at, 9 + (_minute % 3)), at);
    }

    /// <summary>What a retained topic says of the weather, as JSON.</summary>
    [Benchmark]
    public byte[]? TopicOfWeather() => TopicJson.Weather(_watch);

    /// <summary>What a retained topic says of the risk, as JSON.</summary>
    [Benchmark]
    public byte[] TopicOfRisk() => TopicJson.Risk(_watch, _site.Plantings[0]);
}
