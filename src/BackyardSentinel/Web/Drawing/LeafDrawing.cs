using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>A leaf, sound and as curl changes it, as line drawings. Their word stands beside them.</summary>
internal static class LeafDrawing
{
    /// <summary>The drawing of a symptom; a word that is none is the sound leaf.</summary>
    /// <param name="symptom">The symptom's word, as the journal has it.</param>
    public static IHtmlContent Of(string symptom) => BudDrawing.Drawn(symptom switch
    {
        "puckered" =>
            "<path class=\"g\" d=\"M32 70C22 60 15 54 20 45C13 38 23 34 19 26C22 16 28 12 32 4C38 12 44 18 42 27C50 33 41 39 46 46C47 56 "
                + "40 60 32 70Z\"/><path d=\"M32 72C30 52 35 36 32 12\"/><path class=\"r\" d=\"M22 44C18 38 25 33 29 37C31 42 27 47 22 "
                + "44Z\"/><path class=\"r\" d=\"M35 30C35 24 42 22 43 28C43 33 37 35 35 30Z\"/><path d=\"M23 41Q26 "
                + "38 28 41M37 29Q40 26 42 29\"/>",
        "curled" =>
            "<path class=\"r\" d=\"M30 71C20 64 12 56 19 47C10 41 14 31 23 32C18 22 24 13 34 15C46 8 58 18 51 28C46 35 37 31 38 24C39 19 "
                + "46 19 46 24C48 33 41 38 46 45C50 56 40 64 30 71Z\"/><path d=\"M30 71C28 56 30 44 29 33C29 27 31 23 35 21\"/><path "
                + "d=\"M19 47Q25 45 29 48M23 32Q27 32 29 35M45 45Q38 44 31 50\"/>",
        "white-bloom" =>
            "<path class=\"p\" d=\"M30 70C14 62 10 48 20 42C8 36 16 22 26 24C22 12 36 4 44 12C54 18 46 28 42 28C56 32 54 46 44 46C52 56 "
                + "44 68 30 70Z\"/><path d=\"M31 70C27 52 40 40 36 16\"/>"
                + Bloom,
        "dropping" =>
            "<path d=\"M28 4C29 10 32 14 36 17\"/><path class=\"r\" d=\"M37 34C28 32 22 38 26 45C18 48 20 58 28 57C27 66 38 70 42 62C50 "
                + "64 54 54 47 50C54 44 48 34 41 38C40 36 39 35 37 34Z\"/><path d=\"M37 34C39 30 39 26 37 22M37 36C34 46 38 54 35 64M29 "
                + "46Q33 44 35 48M46 50Q40 49 36 54\"/>",
        _ =>
            "<path class=\"g\" d=\"M32 70C18 52 18 28 32 4C46 28 46 52 32 70Z\"/><path d=\"M32 72V10M32 30L25 24M32 30L39 24M32 44L23 "
                + "37M32 44L41 37M32 57L26 51M32 57L38 51\"/>",
    });

    private static string Bloom => string.Concat(
        new[]
        {
            (24, 33), (28, 31), (22, 38), (29, 37), (40, 34), (45, 37), (42, 40), (24, 52),
            (29, 56), (22, 57), (38, 53), (42, 57), (38, 16), (42, 20), (33, 22), (34, 62),
        }
            .Select(spot => $"<circle class=\"d\" cx=\"{spot.Item1}\" cy=\"{spot.Item2}\" r=\"1.3\"/>"));
}
