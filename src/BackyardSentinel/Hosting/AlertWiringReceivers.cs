using System.Text;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Hosting;

/// <summary>The garden file's receivers with what they point to fetched: addresses, keys, templates.</summary>
internal static class AlertWiringReceivers
{
    // A template or a file of words is a page or two; more is the wrong file.
    private const int LargestFile = 256 * 1024;

    private static readonly UTF8Encoding Strictly = new(false, throwOnInvalidBytes: true);

    /// <summary>One receiver's settings, fetched.</summary>
    /// <exception cref="WiringProblemException">Something is missing; the sentence names receiver and key.</exception>
    public static ReceiverSettings Fetched(ReceiverSettings receiver)
    {
        return WithSecrets(receiver) with
        {
            Url = receiver.Url is { } url
                ? url with { Plain = Address(url, $"The url of the destination {receiver.Id}").AbsoluteUri }
                : null,
            Template = Template(receiver),
        };
    }

    /// <summary>A receiver's settings with its headers and its secret fetched.</summary>
    /// <exception cref="WiringProblemException">One cannot be had.</exception>
    public static ReceiverSettings WithSecrets(ReceiverSettings receiver)
    {
        var of = $"of the destination {receiver.Id}";
        return receiver with
        {
            Headers =
            [
                .. receiver.Headers.Select(header =>
                    header with { Value = header.Value with { Plain = Fetched(header.Value, $"The header {header.Name} {of}") } }),
            ],
            Secret = receiver.Secret is { } secret ? secret with { Plain = Fetched(secret, $"The secret {of}") } : null,
        };
    }

    /// <summary>A receiver's template, fetched; <c>null</c>: it has none.</summary>
    /// <exception cref="WiringProblemException">Its file cannot be read.</exception>
    public static string? Template(ReceiverSettings receiver) => receiver.TemplatePath is { } path
        ? FileText(path, $"the template of the destination {receiver.Id}, named by 'template_file'")
        : receiver.Template;

    /// <summary>An address, fetched and checked. It may be a secret itself, so no sentence shows it.</summary>
    /// <param name="value">The address, or where it is kept.</param>
    /// <param name="what">What it is, to begin a sentence with.</param>
    public static Uri Address(KeptValue value, string what)
    {
        var text = Fetched(value, what).Trim();
        return !text.Any(char.IsWhiteSpace)
            && Uri.TryCreate(text, UriKind.Absolute, out var uri)
            && uri.Scheme is "http" or "https"
            && uri.Host.Length > 0
            ? uri
            : throw new WiringProblemException(
                $"{what}{(value.Reference is { } place ? $", kept in {place}," : "")} is no address that begins with https:// or "
                    + "http://; write the whole address there and nothing else."
            );
    }

    /// <summary>The text of a file.</summary>
    /// <param name="path">Its path.</param>
    /// <param name="what">What it holds, for a sentence.</param>
    public static string FileText(string path, string what)
    {
        var trouble = OrdinaryFile.Read(path, LargestFile, out var bytes, out var reason);
        if (trouble == FileTrouble.None)
        {
            try
            {
                using var reader = new StreamReader(new MemoryStream(bytes!), Strictly);
                return reader.ReadToEnd();
            }
            catch (DecoderFallbackException)
            {
                throw new WiringProblemException($"The file {path} should hold {what}, but it is not UTF-8; save it as UTF-8.");
            }
        }

        throw new WiringProblemException(
            trouble == FileTrouble.Absent
                ? $"The file {path} should hold {what}, but it is not there; put it there, or take the key out of the garden file."
                : $"The file {path} should hold {what}, but {reason!.Text.Replace($"the file {path}", "it", StringComparison.Ordinal)}; "
                    + "name the right file, or take the key out of the garden file.");
    }

    /// <summary>A value that stands in the file or is kept elsewhere.</summary>
    /// <exception cref="WiringProblemException">It cannot be had.</exception>
    public static string Fetched(KeptValue value, string what) =>
        value.TryResolve(out var text, out var reason)
            ? text!
            : throw new WiringProblemException($"{what} cannot be had: {reason}. Put it there, or change the garden file.");
}
