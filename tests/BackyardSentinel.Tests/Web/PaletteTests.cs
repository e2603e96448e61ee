using System.Text.RegularExpressions;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Web;

/// <summary>
/// The colours of the page against WCAG 2.2 (1.4.3 and 1.4.11), also as people see them who lack one kind of cone: by the matrices for
/// full severity of Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", 2009
/// (figures from memory; each row sums to 1, as it must so that grey stays grey).
/// </summary>
public sealed partial class PaletteTests
{
    private static readonly double[][] Anybody = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

    private static readonly Dictionary<string, double[][]> Eyes = new()
    {
        ["all cones"] = Anybody,
        ["protanopia"] = [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
        ["deuteranopia"] = [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
        ["tritanopia"] = [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    };

    private static readonly string Style = File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Web", "Files", "style.css"));

    public static TheoryData<string, string> Looks =>
        [.. from theme in new[] { "light", "dark" } from eyes in Eyes.Keys select new TheoryDataRow<string, string>(theme, eyes)];

    [Theory]
    [MemberData(nameof(Looks))]
    public void Whatever_is_written_or_drawn_can_be_told_from_its_ground(string theme, string eyes)
    {
        var colours = Palette(theme).ToDictionary(one => one.Key, one => Luminance(Seen(one.Value, Eyes[eyes])));

        foreach (var ground in new[] { "paper", "shade" })
        {
            // Text, and the curves, bars and marks that carry meaning in the same colours.
            foreach (var text in new[] { "ink", "soft", "madder", "verd", "slate", "ochre" })
                Assert.True(
                    Contrast(colours[text], colours[ground]) >= 4.5,
                    $"{text} on {ground}: {Contrast(colours[text], colours[ground]):0.00}");
            Assert.True(
                Contrast(colours["rule"], colours[ground]) >= 3, $"rule on {ground}: {Contrast(colours["rule"], colours[ground]):0.00}");
        }
    }

    [Fact]
    public void Grey_stays_grey_for_all_eyes() =>
        Assert.All(Eyes.Values.SelectMany(rows => rows), row => Assert.Equal(1, row.Sum(), 5));

    private static Dictionary<string, double[]> Palette(string theme)
    {
        var blocks = Root().Matches(Style).Select(one => one.Groups[1].Value).ToList();
        var light = Colours(blocks[0]);
        if (theme == "dark")
        {
            foreach (var (name, value) in Colours(blocks[1]))
                light[name] = value;
        }

        return light;
    }

    private static Dictionary<string, double[]> Colours(string block) => Colour().Matches(block).ToDictionary(
        one => one.Groups[1].Value,
        one => Enumerable.Range(0, 3).Select(i => Linear(Convert.ToInt32(one.Groups[2].Value.Substring(2 * i, 2), 16) / 255.0)).ToArray());

    /// <summary>sRGB to linear light, IEC 61966-2-1.</summary>
    private static double Linear(double value) => value <= 0.04045 ? value / 12.92 : Math.Pow((value + 0.055) / 1.055, 2.4);

    private static double[] Seen(double[] colour, double[][] eyes) =>
        [.. eyes.Select(row => Math.Clamp(row.Zip(colour, (weight, light) => weight * light).Sum(), 0, 1))];

    private static double Luminance(double[] colour) => (0.2126 * colour[0]) + (0.7152 * colour[1]) + (0.0722 * colour[2]);

    private static double Contrast(double one, double other) => (Math.Max(one, other) + 0.05) / (Math.Min(one, other) + 0.05);

    [GeneratedRegex(@":root\{([^}]*)\}")]
    private static partial Regex Root();

    [GeneratedRegex("--([a-z]+):#([0-9a-f]{6})")]
    private static partial Regex Colour();
}
