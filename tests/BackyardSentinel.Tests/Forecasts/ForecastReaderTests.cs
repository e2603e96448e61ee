using CsCheck;
using NodaTime;

namespace BackyardSentinel.Forecasts;

public sealed class ForecastReaderTests
{
    private static readonly DateTimeOffset Now = new(2027, 2, 1, 5, 30, 0, TimeSpan.Zero);

    private static readonly ForecastMap Plain = new()
    {
        Shape = ForecastShape.List,
        Source = "Weir Office",
        Quantities =
        [
            new ForecastField(ForecastQuantity.Temperature, "t"),
            new ForecastField(ForecastQuantity.Rain, "r", kind: ForecastKind.Sum),
        ],
    };

    public static TheoryData<string> Fixtures => [.. ForecastFixture.Names];

    private static ForecastResult Read(string payload, ForecastMap? map = null, bool ageUnknown = false) =>
        ForecastReader.Read(Encoding.UTF8.GetBytes(payload), map ?? Plain, Now, ageUnknown);

    [Theory]
    [MemberData(nameof(Fixtures))]
    public void Each_shape_gives_the_hours_worked_out_by_hand(string name)
    {
        var fixture = ForecastFixture.Load(name);

        var result = ForecastReader.Read(fixture.Payload, fixture.Map, fixture.FetchedAt);

        Assert.Null(result.Reason);
        ForecastFixture.AssertRows(fixture.Rows, result.Forecast!.Hours);
        Assert.Equal(fixture.Issued, result.Forecast.Issued);
        Assert.Equal(
            ("Weir Office", "Data: Weir Office", "CC BY 4.0"),
            (result.Forecast.Source, result.Forecast.Attribution, result.Forecast.Licence));
        Assert.Equal(fixture.Remarks.Count, result.Remarks.Count);
        Assert.All(fixture.Remarks, remark => Assert.Contains(result.Remarks, said => said.Contains(remark, StringComparison.Ordinal)));
    }

    [Fact]
    public void Every_shape_has_at_least_four_fixtures() =>
        Assert.All(
            Enum.GetNames<ForecastShape>(),
            shape => Assert.True(ForecastFixture.Names.Count(name => name.StartsWith(shape, StringComparison.OrdinalIgnoreCase)) >= 4));

    [Theory]
    [InlineData("<!DOCTYPE html><title>502</title>", "web page")]
    [InlineData("\uFEFF  <html>", "web page")]
    [InlineData("  ", "empty")]
    [InlineData("{\"error\":true}", "no list of rows")]
    [InlineData("[{\"time\":\"2027-02-01T06:00Z\"}]", "no value")]
    [InlineData("[{\"t\":4}]", "no value")]
    [InlineData("[{\"time\":\"2027-02-01T06:00Z\",\"t\":4}", "not JSON")]
    [InlineData("[{\"time\":\"2027-02-01T06:00Z\",\"t\":4,\"t\":5}]", "twice")]
    [InlineData("[{\"time\":\"\\ud800\",\"t\":4}]", "Unicode")]
    [InlineData("[{\"time\":\"2026-02-01T06:00Z\",\"t\":4}]", "the forecast ends on 2026-02-01 07:00 UTC: it is old, nothing used")]
    [InlineData("[{\"time\":\"2027-02-01T04:00Z\",\"t\":4}]", "it is old")]
    [InlineData("[{\"time\":\"2028-02-01T04:00Z\",\"t\":4}]", "days ahead")]
    [InlineData("[{\"time\":\"2027-02-01T06:00Z\",\"t\":999}]", "no value")]
    public void What_is_no_forecast_is_refused_in_a_sentence(string payload, string because)
    {
        var result = Read(payload);

        Assert.Null(result.Forecast);
        Assert.Contains(because, result.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Too_large_and_too_deep_are_refused_unread()
    {
        Assert.Contains("1048577 bytes", Read(new string(' ', ForecastReader.MaxBytes + 1)).Reason, StringComparison.Ordinal);
        Assert.Contains("deeper", Read(new string('[', 65) + new string(']', 65)).Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2027-02-01T06:00Z", "2027-02-03T06:00Z", 0)]
    [InlineData("2027-02-03T06:00Z", "2027-02-03T07:00Z", 1)]
    [InlineData("2027-01-31T05:00Z", "2027-02-01T06:00Z", 1)]
    public void A_first_hour_more_than_a_day_from_the_fetching_is_remarked(string first, string last, int remarks)
    {
        var result = Read($"[{{\"time\":\"{first}\",\"t\":4}},{{\"time\":\"{last}\",\"t\":5}}]");

        Assert.NotNull(result.Forecast);
        Assert.Equal(remarks, result.Remarks.Count(remark => remark.Contains("check time and zone", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_local_time_without_a_named_zone_is_not_guessed() =>
        Assert.Contains(
            Read("[{\"time\":\"2027-02-01T06:00\",\"t\":4}]").Remarks,
            remark => remark.Contains("name the zone", StringComparison.Ordinal));

    [Fact]
    public void Humidity_that_never_passes_one_percent_is_taken_for_shares_and_left_out()
    {
        var map = Plain with { Quantities = [.. Plain.Quantities, new ForecastField(ForecastQuantity.Humidity, "h")] };
        var result = Read(
            $"[{string.Join(',', Enumerable.Range(6, 8).Select(hour => $"{{\"time\":\"2027-02-01T{hour:00}:00Z\",\"t\":4,\"h\":0.9}}"))}]",
            map);

        Assert.All(result.Forecast!.Hours, hour => Assert.Null(hour.HumidityPct));
        Assert.Contains(
            "say unit: fraction",
            Assert.Single(result.Remarks, remark => remark.StartsWith("humidity", StringComparison.Ordinal)),
            StringComparison.Ordinal);
    }

    [Fact]
    public void Rows_beyond_two_thousand_are_not_read()
    {
        var rows = string.Join(
            ',',
            Enumerable.Range(0, 2100).Select(i => $"{{\"time\":\"{Now.AddMinutes(30 + i):yyyy-MM-dd'T'HH:mm}Z\",\"t\":4}}"));

        var result = Read($"[{rows}]");

        Assert.Equal(34, result.Forecast!.Hours.Count); // 2000 minutes from 06:00 on begin 34 hours
        Assert.Contains(result.Remarks, remark => remark.Contains("2100 rows", StringComparison.Ordinal));
    }

    [Fact]
    public void A_stored_copy_of_unknown_age_counts_from_its_first_hour()
    {
        const string payload = "[{\"time\":\"2027-01-31T12:00Z\",\"t\":4},{\"time\":\"2027-02-01T12:00Z\",\"t\":4}]";

        Assert.Equal(Now, Read(payload).Forecast!.Issued);
        var copy = Read(payload, ageUnknown: true);
        Assert.True(copy.Forecast!.IsStale(Now));
        Assert.Contains(copy.Remarks, remark => remark.Contains("more than 12 hours", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("\"bver\":11,\"n\":\"t\",\"v\":1", "version")]
    [InlineData("\"n\":\"t\",\"v\":1,\"must_\":2", "must be understood")]
    public void A_SenML_pack_that_may_not_be_read_is_refused(string record, string because) // RFC 8428, 4.4, from memory
    {
        var result = Read($"[{{{record}}}]", Plain with { Shape = ForecastShape.Senml });

        Assert.Contains(because, result.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Broken_payloads_never_throw()
    {
        var fixtures = ForecastFixture
            .Names.Select(ForecastFixture.Load)
            .Select(fixture => (fixture.Payload, fixture.Map, fixture.FetchedAt))
            .ToArray();
        Gen.Select(
                Gen.Int[0, fixtures.Length - 1],
                Gen.Int[0, fixtures.Length - 1],
                Gen.Select(Gen.Int[0, 5000], Gen.Byte).Array[0, 6],
                Gen.Int[0, 100])
            .Sample(
                (payload, map, damage, cut) =>
                {
                    byte[] bytes = [.. fixtures[payload].Payload];
                    foreach (var (at, value) in damage)
                        bytes[at % bytes.Length] = value;
                    if (cut < 10)
                        bytes = bytes[..(bytes.Length * cut / 10)];
                    var result = ForecastReader.Read(bytes, fixtures[map].Map, fixtures[map].FetchedAt);
                    Assert.Equal(result.Forecast is null, result.Reason is not null);
                },
                iter: Rounds.Of(3000));
    }

    [Theory]
    [InlineData("Europe/Ljubljana", 2027, 10, 30)]
    [InlineData("America/New_York", 2027, 11, 6)]
    [InlineData("Australia/Lord_Howe", 2027, 4, 3)] // goes back by half an hour
    [InlineData("America/St_Johns", 2027, 11, 6)] // three and a half hours from UTC
    public void Local_times_around_the_night_the_clocks_go_back_are_those_of_another_library(string zone, int year, int month, int day)
    {
        var noda = DateTimeZoneProviders.Tzdb[zone];
        var first = Instant.FromUtc(year, month, day, 0, 0);
        var moments = Enumerable.Range(0, 48 * 2).Select(i => first + Duration.FromMinutes(30 * i)).ToList();
        var texts = moments
            .Select(moment => moment.InZone(noda).LocalDateTime.ToString("uuuu-MM-dd'T'HH:mm", CultureInfo.InvariantCulture))
            .ToList();
        Assert.True(texts.Distinct().Count() < texts.Count, "this night must hold times that come twice");
        var map = new ForecastMap
        {
            Shape = ForecastShape.Columns,
            Source = "Weir Office",
            TimeZone = TimeZoneInfo.FindSystemTimeZoneById(zone),
            Quantities = [new ForecastField(ForecastQuantity.Rain, "r", kind: ForecastKind.Sum, hours: 0.5)],
        };
        var payload =
            $"{{\"time\":[{string.Join(',', texts.Select(text => $"\"{text}\""))}],\"r\":["
                + $"{string.Join(',', Enumerable.Range(1, moments.Count))}]}}";

        var result = ForecastReader.Read(Encoding.UTF8.GetBytes(payload), map, first.ToDateTimeOffset());

        // Row i tells of i mm in its half hour, so every hour shows which two rows it was made from.
        Assert.Empty(result.Remarks);
        Assert.Equal(
            Enumerable.Range(0, 48).Select(hour => (first.ToDateTimeOffset().AddHours(hour), (double?)((4 * hour) + 3))),
            result.Forecast!.Hours.Select(hour => (hour.Start, hour.RainMm)));
    }

    /// <summary>
    /// The names of SenML (RFC 8428, RFC 8798), UCUM and the WMO's table, from memory; the factors are those of UnitsNet.
    /// </summary>
    public static TheoryData<ForecastQuantity, string, double, double> NamedUnits => new()
    {
        { ForecastQuantity.Temperature, "Cel", 23.4, 23.4 },
        { ForecastQuantity.Temperature, "[degF]", 23.4, UnitsNet.Temperature.FromDegreesFahrenheit(23.4).DegreesCelsius },
        { ForecastQuantity.Temperature, "K", 273.4, UnitsNet.Temperature.FromKelvins(273.4).DegreesCelsius },
        { ForecastQuantity.Rain, "[in_i]", 1.7, UnitsNet.Length.FromInches(1.7).Millimeters },
        { ForecastQuantity.Rain, "cm", 1.7, UnitsNet.Length.FromCentimeters(1.7).Millimeters },
        { ForecastQuantity.Rain, "m", 0.0031, UnitsNet.Length.FromMeters(0.0031).Millimeters },
        { ForecastQuantity.WindSpeed, "unit:km_h-1", 31, UnitsNet.Speed.FromKilometersPerHour(31).MetersPerSecond },
        { ForecastQuantity.WindSpeed, "[mi_i]/h", 31, UnitsNet.Speed.FromMilesPerHour(31).MetersPerSecond },
        { ForecastQuantity.WindSpeed, "[kn_i]", 31, UnitsNet.Speed.FromKnots(31).MetersPerSecond },
        { ForecastQuantity.Humidity, "/", 0.31, UnitsNet.Ratio.FromDecimalFractions(0.31).Percent },
    };

    [Theory]
    [MemberData(nameof(NamedUnits))]
    public void Units_named_in_the_payload_are_converted_as_another_library_does(
        ForecastQuantity quantity,
        string name,
        double value,
        double expected)
    {
        var kind = quantity == ForecastQuantity.Rain ? ForecastKind.Sum : ForecastKind.Instant;
        var map = Plain with { Rows = "rows", Quantities = [new ForecastField(quantity, "v", kind: kind, unitPath: "unit")] };

        var hour = Assert.Single(
            Read(
                FormattableString.Invariant($"{{\"unit\":\"{name}\",\"rows\":[{{\"time\":\"2027-02-01T06:00Z\",\"v\":{value}}}]}}"),
                map
            ).Forecast!.Hours);

        Assert.Equal(expected, (hour.TemperatureC ?? hour.RainMm ?? hour.WindMs ?? hour.HumidityPct)!.Value, 6);
    }
}
