using System.Globalization;

namespace BackyardSentinel.Garden;

/// <summary>
/// A growth stage of stone fruit by its BBCH code (the scale of Meier and others 1994). Codes that the scale does not
/// have for stone fruit cannot be built. The default value is 00, dormant.
/// </summary>
/// <remarks>
/// Codes 00–63 were seen in a copy of the scale; the sense of the later ones is from memory. Leaf buds (00–19) and flower
/// buds (50–69) of peach are separate buds and run side by side; 00 says that both are shut.
/// </remarks>
public readonly record struct BudStage
{
    private static readonly SortedDictionary<int, string> Meanings = new()
    {
        [0] = "dormant, all buds shut",
        [1] = "leaf buds begin to swell",
        [3] = "leaf buds swollen, light green between the scales",
        [9] = "green leaf tips show",
        [10] = "first leaves separate",
        [11] = "first leaves unfolded",
        [19] = "first leaves fully grown",
        [31] = "shoots begin to grow",
        [32] = "shoots at 20 % of their length",
        [33] = "shoots at 30 % of their length",
        [34] = "shoots at 40 % of their length",
        [35] = "shoots at half their length",
        [36] = "shoots at 60 % of their length",
        [37] = "shoots at 70 % of their length",
        [38] = "shoots at 80 % of their length",
        [39] = "shoots at 90 % of their length",
        [51] = "flower buds swell, still shut",
        [53] = "flower buds burst, light green shows",
        [54] = "flowers still wrapped in light green scales",
        [55] = "single flower buds on short stalks, still shut",
        [56] = "flower stalks grow longer, sepals shut",
        [57] = "sepals open, petal tips show",
        [59] = "most flowers stand as balloons",
        [60] = "first flowers open",
        [61] = "flowering begins, 10 % open",
        [62] = "20 % of the flowers open",
        [63] = "30 % of the flowers open",
        [64] = "40 % of the flowers open",
        [65] = "full bloom, first petals fall",
        [67] = "flowers fade, most petals have fallen",
        [69] = "petal fall complete",
        [71] = "fruit set, flowers without fruit drop",
        [72] = "young fruit sheds its dry sepals",
        [73] = "second fruit drop",
        [75] = "fruit at half its size",
        [76] = "fruit at 60 % of its size",
        [77] = "fruit at 70 % of its size",
        [78] = "fruit at 80 % of its size",
        [79] = "fruit at 90 % of its size",
        [81] = "fruit begins to colour",
        [85] = "fruit well coloured",
        [87] = "ripe for picking",
        [89] = "ripe for eating",
        [91] = "shoots have stopped, leaves still green",
        [92] = "leaves begin to change colour",
        [93] = "leaf fall begins",
        [95] = "half of the leaves changed or fallen",
        [97] = "all leaves fallen",
        [99] = "harvested fruit",
    };

    private BudStage(int code) => Code = code;

    /// <summary>Every stage of stone fruit, in rising order of code.</summary>
    public static IReadOnlyList<BudStage> All { get; } = [.. Meanings.Keys.Select(code => new BudStage(code))];

    /// <summary>00: dormant, leaf and flower buds shut.</summary>
    public static BudStage Dormant => default;

    /// <summary>01: leaf buds begin to swell; the last moment at which a dormant spray still reaches the spores.</summary>
    public static BudStage LeafBudSwell { get; } = new(1);

    /// <summary>09: green leaf tips show.</summary>
    public static BudStage GreenTip { get; } = new(9);

    /// <summary>11: first leaves unfolded; before there is no leaf to look at.</summary>
    public static BudStage FirstLeaves { get; } = new(11);

    /// <summary>69: petal fall complete.</summary>
    public static BudStage PetalFall { get; } = new(69);

    /// <summary>The BBCH code, 0–99.</summary>
    public int Code { get; }

    /// <summary>What is to be seen on the tree, in a few words.</summary>
    public string Meaning => Meanings[Code];

    /// <summary>A stage of the leaf buds, 00–19.</summary>
    public bool IsLeafBud => Code <= 19;

    /// <summary>A stage of the flower buds, 50–69. Dormant (00) is counted with the leaf buds.</summary>
    public bool IsFlowerBud => Code is >= 50 and <= 69;

    /// <summary>
    /// A stage of leaf buds or of the shoots that come out of them, 00–39; the others are of flowers, fruit and leaf fall.
    /// </summary>
    public bool IsOfLeaves => Code < 50;

    /// <summary>The stage of a code; <c>false</c> where stone fruit has no such code.</summary>
    public static bool TryFrom(int code, out BudStage stage)
    {
        var known = Meanings.ContainsKey(code);
        stage = known ? new BudStage(code) : default;
        return known;
    }

    /// <summary>The stage of a code that is known to be one of stone fruit.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Stone fruit has no such code.</exception>
    public static BudStage From(int code) => TryFrom(code, out var stage)
        ? stage
        : throw new ArgumentOutOfRangeException(
            nameof(code), code, "Stone fruit has no such BBCH code; leaf buds are 00, 01, 03, 09, 10, 11, 19, flower buds 51 to 69.");

    /// <summary>The code in two digits, as the scale writes it.</summary>
    public override string ToString() => Code.ToString("00", CultureInfo.InvariantCulture);
}
