using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>What the program needs to know of each active ingredient.</summary>
public static class ActiveIngredients
{
    // Standard atomic weights, IUPAC 2021 (abridged and conventional values), g/mol.
    private const double Cu = 63.546, O = 15.999, H = 1.008, Cl = 35.45, S = 32.06, C = 12.011, N = 14.007;
    private const double Hydroxide = O + H;
    private const double Water = O + (2 * H);

    /// <summary>A copper of any kind.</summary>
    public static bool IsCopper(this ActiveIngredient active) => active <= ActiveIngredient.Copper;

    /// <summary>A sulfur of any kind.</summary>
    public static bool IsSulfur(this ActiveIngredient active) => active is ActiveIngredient.LimeSulfur or ActiveIngredient.Sulfur;

    /// <summary>
    /// Days to keep between it and oil, in either order, where no label says how many; <c>null</c>: none need be kept.
    /// Sulfur: garden texts say 14–30, the longest is taken. Captan labels forbid oil shortly before or after without a
    /// number, chlorothalonil labels likewise; 14 days are from memory.
    /// </summary>
    public static int? DaysFromOil(this ActiveIngredient active) => active switch
    {
        ActiveIngredient.LimeSulfur or ActiveIngredient.Sulfur => 30,
        ActiveIngredient.Captan or ActiveIngredient.Chlorothalonil => 14,
        _ => null,
    };

    /// <summary>Counts as a spray against leaf curl; oil does not.</summary>
    public static bool IsFungicide(this ActiveIngredient active) => active != ActiveIngredient.Oil;

    /// <summary>
    /// Leaves a deposit that protects until rain takes it off. Only coppers are known to here; what another product
    /// leaves is not known, so no cover is claimed for it.
    /// </summary>
    public static bool GivesCover(this ActiveIngredient active) => active.IsCopper();

    /// <summary>
    /// Molar mass of the compound, g/mol, and the copper atoms in it; <c>null</c> where no single compound is meant.
    /// </summary>
    public static (double MolarMassG, int CopperAtoms)? Compound(this ActiveIngredient active) => active switch
    {
        ActiveIngredient.CopperHydroxide => (Cu + (2 * Hydroxide), 1),
        ActiveIngredient.CopperOxychloride => ((2 * Cu) + (3 * Hydroxide) + Cl, 2),
        ActiveIngredient.CopperSulfate => (Cu + S + (4 * O) + (5 * Water), 1),
        ActiveIngredient.CuprousOxide => ((2 * Cu) + O, 2),
        ActiveIngredient.CopperOctanoate => (Cu + (2 * ((8 * C) + (15 * H) + (2 * O))), 1),
        ActiveIngredient.TribasicCopperSulfate => ((4 * Cu) + S + (4 * O) + (6 * Hydroxide), 4),
        ActiveIngredient.CopperDiammineAcetate => (Cu + (2 * (N + (3 * H))) + (2 * ((2 * C) + (3 * H) + (2 * O))), 1),
        _ => null,
    };

    /// <summary>
    /// Metallic copper in the pure compound, 0–1 by mass, from the atomic masses; <c>null</c> where the compound has no
    /// copper or is not a single one.
    /// </summary>
    public static double? CopperFraction(this ActiveIngredient active) =>
        active.Compound() is { } compound ? compound.CopperAtoms * Cu / compound.MolarMassG : null;

    /// <summary>The word that stands for it in the garden file.</summary>
    public static string Word(this ActiveIngredient active) => active switch
    {
        ActiveIngredient.CopperHydroxide => "copper-hydroxide",
        ActiveIngredient.CopperOxychloride => "copper-oxychloride",
        ActiveIngredient.CopperSulfate => "copper-sulfate",
        ActiveIngredient.CuprousOxide => "cuprous-oxide",
        ActiveIngredient.CopperOctanoate => "copper-octanoate",
        ActiveIngredient.TribasicCopperSulfate => "tribasic-copper-sulfate",
        ActiveIngredient.CopperDiammineAcetate => "copper-diammine-acetate",
        ActiveIngredient.Bordeaux => "bordeaux",
        ActiveIngredient.Copper => "copper",
        ActiveIngredient.LimeSulfur => "lime-sulfur",
        ActiveIngredient.Sulfur => "sulfur",
        ActiveIngredient.Oil => "oil",
        ActiveIngredient.Captan => "captan",
        ActiveIngredient.Chlorothalonil => "chlorothalonil",
        ActiveIngredient.Other => "other",
    };

    /// <summary>The same for people.</summary>
    public static Sentence Said(this ActiveIngredient active) => active switch
    {
        ActiveIngredient.CopperHydroxide => $"copper hydroxide",
        ActiveIngredient.CopperOxychloride => $"copper oxychloride",
        ActiveIngredient.CopperSulfate => $"copper sulfate",
        ActiveIngredient.CuprousOxide => $"cuprous oxide",
        ActiveIngredient.CopperOctanoate => $"copper octanoate",
        ActiveIngredient.TribasicCopperSulfate => $"tribasic copper sulfate",
        ActiveIngredient.CopperDiammineAcetate => $"copper diammine acetate",
        ActiveIngredient.Bordeaux => $"bordeaux",
        ActiveIngredient.Copper => $"copper",
        ActiveIngredient.LimeSulfur => $"lime sulfur",
        ActiveIngredient.Sulfur => $"sulfur",
        ActiveIngredient.Oil => $"oil",
        ActiveIngredient.Captan => $"captan",
        ActiveIngredient.Chlorothalonil => $"chlorothalonil",
        ActiveIngredient.Other => $"its active ingredient",
    };
}
