using System.Globalization;
using System.Text;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// The buds of peach and its kin at the stages that a grower writes down most, as line drawings. Their word stands beside them.
/// </summary>
internal static class BudDrawing
{
    private const string Twig = "<path d=\"M28 72C27 64 28 58 29 52M36 72C37 64 36 58 35 52\"/>";
    private const string Petal = "M32 28C24 22 24 10 32 5C40 10 40 22 32 28Z";

    /// <summary>The drawing of a stage; <c>null</c>: there is none.</summary>
    /// <param name="stage">The stage's name, as the journal has it.</param>
    public static IHtmlContent? Of(string stage) => stage switch
    {
        "shut" =>
            Drawn(
                $"{Twig}<path class=\"p\" d=\"M32 54C24 51 23 40 32 26C41 40 40 51 32 54Z\"/><path d=\"M25 48C28 43 36 43 39 "
                    + "48M26 41C29 36 35 36 38 41\"/>"),
        "swell" => Drawn(
            $"{Twig}<path class=\"p\" d=\"M32 55C16 52 14 34 32 14C50 34 48 52 32 55Z\"/><path d=\"M20 47C24 39 30 40 32 46C34 40 40 39 "
                + "44 47M20 43C24 35 30 36 32 42C34 36 40 35 44 43M24 31C27 25 30 26 32 31C34 26 37 25 40 31M25 28C28 22 30 "
                + "23 32 28C34 23 36 22 39 28\"/>"),
        "green-tip" => Drawn(
            $"{Twig}<path class=\"g\" d=\"M29 27C22 18 24 9 28 3C33 10 34 18 32 28Z\"/><path class=\"g\" d=\"M33 28C33 17 38 10 43 7C44 "
                + "16 41 23 35 30Z\"/><path class=\"p\" d=\"M32 55C16 52 15 36 25 26C30 31 34 31 39 26C49 36 48 52 32 55Z\"/><path "
                + "d=\"M20 47C24 39 30 40 32 46C34 40 40 39 44 47M23 37C26 31 30 32 32 37C34 32 38 31 41 37\"/>"),
        "first-leaves" => Drawn(
            "<path d=\"M29 72C28 66 29 62 30 58M35 72C36 66 35 62 34 58\"/><path class=\"g\" d=\"M31 55C18 48 10 38 6 24C20 28 29 38 32 "
                + "54Z\"/><path d=\"M30 52C22 44 14 34 9 27\"/><path class=\"g\" d=\"M33 55C46 48 54 38 58 24C44 28 35 38 32 "
                + "54Z\"/><path d=\"M34 52C42 44 50 34 55 27\"/><path class=\"g\" d=\"M32 52C25 36 26 18 32 5C38 18 39 36 32 "
                + "52Z\"/><path d=\"M32 50V12\"/><path class=\"p\" d=\"M25 60Q25 53 32 53Q39 53 39 60Z\"/>"),
        "bloom" => Drawn(Flower()),
        "petal-fall" => Drawn(
            "<path d=\"M31 72C31 64 31 56 32 46\"/><path class=\"g\" d=\"M32 46C23 42 24 30 32 25C40 30 41 42 32 46Z\"/><path d=\"M32 "
                + "25C32 19 34 15 36 11M25 43C20 41 17 36 17 32M39 43C44 41 47 36 47 32\"/><path class=\"r\" d=\"M10 58C9 52 14 48 20 "
                + "49C20 55 16 59 10 58Z\"/><path class=\"r\" d=\"M46 66C44 60 48 55 54 55C56 61 52 66 46 66Z\"/>"),
        _ => null,
    };

    internal static IHtmlContent Drawn(string inside) =>
        new HtmlString($"<svg class=\"bud\" viewBox=\"0 0 64 76\" aria-hidden=\"true\">{inside}</svg>");

    /// <summary>Five petals, five stamens.</summary>
    private static string Flower()
    {
        var drawing = new StringBuilder("<path d=\"M31 72C31 64 31 58 32 50\"/>");
        for (var turn = 0; turn < 360; turn += 72)
            drawing.Append(CultureInfo.InvariantCulture, $"<path class=\"r\" transform=\"rotate({turn} 32 31)\" d=\"{Petal}\"/>");
        drawing.Append("<circle class=\"p\" cx=\"32\" cy=\"31\" r=\"4\"/>");
        for (var turn = 36; turn < 360; turn += 72)
            drawing.Append(
                CultureInfo.InvariantCulture,
                $"<path transform=\"rotate({turn} 32 31)\" d=\"M32 27V20\"/><circle class=\"d\" transform=\"rotate({turn} 32 31)\" "
                    + $"cx=\"32\" cy=\"19\" r=\"1.4\"/>");
        return drawing.ToString();
    }
}
