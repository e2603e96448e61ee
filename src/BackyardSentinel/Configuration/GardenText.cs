using System.Security;
using System.Text;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>The text of a garden file, or of one that it includes.</summary>
public static class GardenText
{
    /// <summary>A garden file is a few kilobytes; anything near this size is another file.</summary>
    public const int LargestFile = 1024 * 1024;

    // UTF-8 only, and strictly: a replaced character in a topic would make a silent sensor.
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>Loads it.</summary>
    /// <param name="path">The path.</param>
    /// <returns>The text; or what is wrong with the file, and what was expected.</returns>
    public static (string? Text, Sentence? Fault, Sentence? Expected) Load(string path)
    {
        try
        {
            if (Directory.Exists(path))
                return (null, $"this is a folder, and the garden is described in one file", $"a file in it, such as garden.yaml");
            if (OrdinaryFile.HasNoLength(path))
                return ("", null, null);
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            var bytes = new byte[LargestFile + 1];
            var length = stream.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false);
            if (length > LargestFile)
                return (
                    null,
                    $"the file is larger than 1 MB; a garden takes a few kilobytes, so this is probably another file",
                    $"the garden file");
            using StreamReader reader = new(new MemoryStream(bytes, 0, length), Utf8, detectEncodingFromByteOrderMarks: true);
            return (reader.ReadToEnd(), null, null);
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            return (
                null,
                $"there is no such file",
                $"the path of the garden file after --garden, or config/garden.yaml below the working directory");
        }
        catch (DecoderFallbackException)
        {
            return (null, $"the file is not UTF-8 text", $"the file saved as UTF-8 by a text editor");
        }
        catch (Exception e) when (e is UnauthorizedAccessException or SecurityException)
        {
            return (null, $"the file may not be read by this user", $"read permission for the user the program runs as");
        }
        catch (Exception e) when (e is IOException or ArgumentException or NotSupportedException)
        {
            return (null, $"the file cannot be read: {new English(e.Message)}", $"a readable file on a healthy disk");
        }
    }
}
