using QRCoder;

namespace BackyardSentinel.Web.Access;

/// <summary>Where the page is, and how others come in.</summary>
/// <param name="Address">Its address.</param>
/// <param name="Keys">Its keys; <c>null</c>: it is for this computer alone and asks for none.</param>
public sealed record Invitation(Uri Address, PageKeys? Keys)
{
    /// <summary>The address that brings a key along.</summary>
    /// <param name="key">The key.</param>
    public Uri With(string key) => new(Address, $"/enter?key={key}");

    /// <summary>Tells it in a terminal: the address, and with keys a code to scan.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="withKeys">The keys are shown; otherwise only how to see them.</param>
    public void Write(TextWriter output, bool withKeys)
    {
        output.Write($"The page: {Address}\n");
        if (Keys is null)
        {
            output.Write("Only this computer can reach it. For your phone set 'listen: 0.0.0.0' under 'page' in the garden file.\n");
            return;
        }

        if (!withKeys)
        {
            output.Write("It asks for a key; the command 'page' shows it.\n");
            return;
        }

        output.Write(
            $"\nYour own key, which may write. Scan it with your phone, or open\n{With(Keys.Writer)}\n\n{Code(With(Keys.Writer))}\n");
        output.Write($"\nFor the family, a key that may only look:\n{With(Keys.Reader)}\n");
        output.Write("\nWhoever has an address with a key is in: treat it as a password. "
            + "'page --renew' makes new keys and shuts the old ones out.\n");
    }

    private static string Code(Uri address)
    {
        using var data = QRCodeGenerator.GenerateQrCode(address.ToString(), QRCodeGenerator.ECCLevel.L);
        using var code = new AsciiQRCode(data);
        return code.GetGraphicSmall(drawQuietZones: true, invert: true);
    }
}
