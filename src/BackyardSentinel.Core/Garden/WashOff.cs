using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Garden;

/// <summary>
/// How much rain takes a protectant off. The figures come from leaves with a sticker: below 25 mm (1 inch) ignore, to
/// 50 mm (2 inches) half is left, above spray again (Kansas State extension, through the press); simulated rain on kiwifruit
/// leaves took half with 25 mm and more, while woody canes kept up to all of it after 50 mm (Gaskin, Horgan, Steele and
/// van Leeuwen 2013, New Zealand Plant Protection 66:199–203, abstract). So bark keeps longer than this says.
/// </summary>
/// <param name="RecheckMm">Rain from which the cover should be looked at, mm; 25 unless set.</param>
/// <param name="SpentMm">Rain from which the cover counts as gone, mm; 50 unless set, not below the other.</param>
public sealed record WashOff(double RecheckMm = 25, double SpentMm = 50)
{
    /// <summary>Rain from which the cover should be looked at, mm.</summary>
    public double RecheckMm { get; } = RecheckMm > 0
        ? RecheckMm
        : throw new ArgumentOutOfRangeException(nameof(RecheckMm), RecheckMm, "An amount of rain must lie above 0 mm.");

    /// <summary>Rain from which the cover counts as gone, mm.</summary>
    public double SpentMm { get; } = SpentMm >= RecheckMm
        ? SpentMm
        : throw new ArgumentOutOfRangeException(nameof(SpentMm), SpentMm, "Gone cannot come before looking again.");

    /// <summary>The cover after so much rain since the spray dried.</summary>
    /// <param name="rainMm">Rain, mm, from 0.</param>
    public Cover After(double rainMm) =>
        Rounded(rainMm) >= SpentMm ? Cover.Spent : Rounded(rainMm) >= RecheckMm ? Cover.Recheck : Cover.Fresh;
}
