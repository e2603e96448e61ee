using System.Text.Json;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// The example packs of RFC 8428, chapter 5, by number, with the values to which the working group's own program resolves them
/// (github.com/core-wg/senml-spec, exN.gen.resolved.json; what is relative counts from 1498780179).
/// </summary>
public sealed class SenmlPackTests
{
    private static readonly DateTimeOffset Now = DateTimeOffset.FromUnixTimeSeconds(1498780179);

    [Theory]
    [InlineData(
        """[{"n":"urn:dev:ow:10e2073a01080063","v":23.1,"u":"Cel"}]""",
        "urn:dev:ow:10e2073a01080063 Cel 1498780179 23.1")]
    [InlineData(
        """[{"bn":"urn:dev:ow:10e2073a01080063:","n":"voltage","t":0,"u":"V","v":120.1},{"n":"current","t":0,"u":"A","v":1.2}]""",
        "urn:dev:ow:10e2073a01080063:voltage V 1498780179 120.1",
        "urn:dev:ow:10e2073a01080063:current A 1498780179 1.2")]
    [InlineData(
        """[{"bn":"urn:dev:ow:10e2073a0108006:","bt":1276020076.001,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},{"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.30},{"n":"current","t":-3,"v":0.14e1},{"n":"current","t":0,"v":1.7}]""",
        "urn:dev:ow:10e2073a0108006:voltage V 1276020076.001 120.1",
        "urn:dev:ow:10e2073a0108006:current A 1276020071.001 1.2",
        "urn:dev:ow:10e2073a0108006:current A 1276020072.001 1.3",
        "urn:dev:ow:10e2073a0108006:current A 1276020073.001 1.4",
        "urn:dev:ow:10e2073a0108006:current A 1276020076.001 1.7")]
    [InlineData(
        """[{"bn":"2001:db8::2/","bt":1320078429,"n":"temperature","v":25.2,"u":"Cel"},{"n":"humidity","v":30,"u":"%RH"},{"bn":"2001:db8::1/","n":"temperature","v":12.3,"u":"Cel"},{"n":"humidity","v":67,"u":"%RH"}]""",
        "2001:db8::2/temperature Cel 1320078429 25.2",
        "2001:db8::2/humidity %RH 1320078429 30",
        "2001:db8::1/temperature Cel 1320078429 12.3",
        "2001:db8::1/humidity %RH 1320078429 67")]
    [InlineData(
        """[{"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","v":23.1,"u":"Cel"},{"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfv-reader","vd":"aGkgCg"}]""",
        "urn:dev:ow:10e2073a01080063:temp Cel 1498780179 23.1",
        "urn:dev:ow:10e2073a01080063:label  1498780179 Machine Room",
        "urn:dev:ow:10e2073a01080063:open  1498780179 false",
        "urn:dev:ow:10e2073a01080063:nfv-reader  1498780179 ")]
    [InlineData(
        """[{"bt":1.320078429e+09,"bu":"/","n":"2001:db8::3","v":0.5},{"n":"2001:db8::3","t":0.1,"v":0}]""",
        "2001:db8::3 / 1320078429 0.5",
        "2001:db8::3 / 1320078429.1 0")]
    public void An_example_of_the_standard_is_resolved_as_its_authors_resolve_it(string pack, params string[] expected)
    {
        using var json = JsonDocument.Parse(pack);
        var (records, fault) = SenmlPack.Read(json.RootElement, Now, 1000);
        Assert.Null(fault);
        Assert.Equal(expected, records.Select(record => string.Create(
            CultureInfo.InvariantCulture,
            $"{record.Name} {record.Unit} {record.Time!.Value.ToUnixTimeMilliseconds() / 1000m:0.###} "
                + $"{record.Value?.ToString("R", System.Globalization.CultureInfo.InvariantCulture) ?? record.Word}")));
    }

    [Fact]
    public void Records_of_one_name_are_told_apart_by_their_units()
    {
        // Example 5: humidity beside the place where it was measured.
        var map = new PayloadMap(
            [
                new SeriesMap
                {
                    SiteId = "yard",
                    Quantity = Quantity.Humidity,
                    Topic = "a",
                    Shape = MessageShape.Senml,
                    Path = "urn:dev:ow:10e2073a01080063",
                    Unit = Unit.Percent,
                },
            ]);
        var result = map.Read(
            "a",
            Encoding.UTF8.GetBytes(
                """[{"bn":"urn:dev:ow:10e2073a01080063","bt":1320067464,"bu":"%RH","v":20.0,"t":0},{"v":24.30621,"u":"lon","t":0},{"v":60.07965,"u":"lat","t":0},{"v":20.3,"t":60}]"""),
            DateTimeOffset.FromUnixTimeSeconds(1320067600),
            retained: false);
        Assert.Equal([20.0, 20.3], result.Readings.Select(one => one.Reading.Value));
        Assert.Equal([1320067464L, 1320067524], result.Readings.Select(one => one.Reading.Time.ToUnixTimeSeconds()));
        Assert.Empty(result.Remarks);
    }
}
