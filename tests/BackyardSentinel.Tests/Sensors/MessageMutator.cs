namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// Makes messages out of messages: seeded, and aware of their structure (numbers, texts, brackets, keys, whole parts of others),
/// so that most of them get past the first check and into the reader.
/// </summary>
/// <param name="corpus">What to begin with.</param>
/// <param name="seed">The seed.</param>
internal sealed class MessageMutator(IReadOnlyList<byte[]> corpus, int seed)
{
    /// <summary>What messages are made of.</summary>
    public static readonly byte[][] Pieces =
    [
        .. new[]
        {
            "{", "}", "[", "]", ",", ":", "\"", "\\", "\\u0000", "\\ud800", "nan", "NaN", "-Infinity", "None", "null", "true", "false", "0",
            "-0",
            "1e400",
            "-1e-400",
            "9007199254740993",
            "1e99",
            "21,5",
            "1.013,2",
            "0x1F",
            "21.5 °C",
            "80 %",
            "12 km/h",
            "\u0000",
            "\uFEFF",
            "\"t\"",
            "\"at\"",
            "\"unit\":\"F\"",
            "\"bn\":\"\"",
            "\"bver\":10",
            "\"v\":1",
            "\"n\":\"t\"",
            "=",
            ";",
            "&",
            "%20",
            "%",
            "+",
            "\n",
            "\t",
            "2027-03-01T05:50:00Z",
            "2027-10-31 01:30:00",
            "1803880200",
            "1803880200000",
            "65535",
            "-127",
            "999.9",
            "wet",
            "ON",
            "[*]",
            "{}",
        }.Select(Encoding.UTF8.GetBytes),
        [0xFF, 0xFE],
        [0xC3],
        [0xED, 0xA0, 0x80],
        [0xB0],
    ];

    private readonly Random _random = new(seed);

    /// <summary>The next message.</summary>
    /// <param name="from">Which of the corpus it was made of.</param>
    public byte[] Next(out int from)
    {
        from = _random.Next(corpus.Count);
        List<byte> message = [.. corpus[from]];
        for (var changes = _random.Next(5); changes > 0; changes--)
            Change(message);
        return [.. message];
    }

    private void Change(List<byte> message)
    {
        var at = _random.Next(message.Count + 1);
        switch (_random.Next(9))
        {
            case 0 when message.Count > 0:
                message[_random.Next(message.Count)] ^= (byte)(1 << _random.Next(8));
                break;
            case 1 when message.Count > 0:
                message[_random.Next(message.Count)] = (byte)_random.Next(256);
                break;
            case 2:
                message.RemoveRange(at, Math.Min(_random.Next(8), message.Count - at));
                break;
            case 3: // cut off, as by a buffer that was full
                message.RemoveRange(at, message.Count - at);
                break;
            case 4: // a part of another
                var other = Some();
                var from = _random.Next(other.Length + 1);
                message.InsertRange(at, other.AsSpan(from, Math.Min(_random.Next(40), other.Length - from)).ToArray());
                break;
            case 5: // a part of its own again
                var length = Math.Min(_random.Next(1, 30), message.Count - at);
                for (var times = _random.Next(1, 4); times > 0 && length > 0; times--)
                    message.InsertRange(at, message.GetRange(at, length));
                break;
            case 6: // another digit
                var digit = message.FindIndex(at, IsDigit);
                if (digit >= 0)
                    message[digit] = (byte)('0' + _random.Next(10));
                break;
            default:
                message.InsertRange(at, Pieces[_random.Next(Pieces.Length)]);
                break;
        }

        if (message.Count > 4000)
            message.RemoveRange(4000, message.Count - 4000);
    }

    private byte[] Some() => corpus[_random.Next(corpus.Count)];

    private static bool IsDigit(byte b) => b is >= (byte)'0' and <= (byte)'9';
}
