namespace BackyardSentinel.Infection;

/// <summary>How far a planting's tissue can be infected at a bud stage.</summary>
public static class Susceptibility
{
    /// <summary>The factor at a BBCH stage of stone fruit.</summary>
    /// <param name="stage">BBCH code, or <c>null</c> where no stage is followed: judged as fully susceptible.</param>
    /// <returns>0 before leaf-bud swell (01); 1 from then to petal fall (69); 0.5, declining, after it.</returns>
    public static double At(int? stage) => stage switch
    {
        null => 1,
        < 1 => 0,
        <= 69 => 1,
        _ => 0.5,
    };
}
