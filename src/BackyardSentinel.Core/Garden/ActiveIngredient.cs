namespace BackyardSentinel.Garden;

/// <summary>What works in a spray product. Coppers are told apart because their share of metallic copper differs.</summary>
public enum ActiveIngredient
{
    /// <summary>Copper hydroxide, Cu(OH)₂.</summary>
    CopperHydroxide,

    /// <summary>Copper oxychloride, Cu₂(OH)₃Cl.</summary>
    CopperOxychloride,

    /// <summary>Copper sulfate pentahydrate (bluestone), CuSO₄·5H₂O.</summary>
    CopperSulfate,

    /// <summary>Cuprous oxide, Cu₂O.</summary>
    CuprousOxide,

    /// <summary>Copper octanoate (copper soap), Cu(C₈H₁₅O₂)₂.</summary>
    CopperOctanoate,

    /// <summary>Tribasic copper sulfate, Cu₄SO₄(OH)₆, without water of crystallisation.</summary>
    TribasicCopperSulfate,

    /// <summary>Copper diammine acetate, Cu(NH₃)₂(CH₃COO)₂.</summary>
    CopperDiammineAcetate,

    /// <summary>Bordeaux mixture: copper sulfate made harmless with lime. Its copper is entered as metallic copper.</summary>
    Bordeaux,

    /// <summary>Some copper whose compound is not named; the metallic copper is entered as the label states it.</summary>
    Copper,

    /// <summary>Lime sulfur (calcium polysulfides).</summary>
    LimeSulfur,

    /// <summary>Wettable sulfur.</summary>
    Sulfur,

    /// <summary>Horticultural (dormant) oil.</summary>
    Oil,

    /// <summary>Captan.</summary>
    Captan,

    /// <summary>Chlorothalonil.</summary>
    Chlorothalonil,

    /// <summary>Anything else that a label allows.</summary>
    Other,
}
