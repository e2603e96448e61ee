using System.Text.Json;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Storage;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>What people and their programs send: entries of the journal, and answers to alerts.</summary>
internal sealed class FuzzedEntries : FuzzedReader
{
    /// <inheritdoc/>
    public override IEnumerable<byte[]> Seeds =>
    [
        .. JournalBookTests.EveryKind.Select(row => Input(0, 0, Encoding.UTF8.GetBytes(JournalJson.Write(row.Data)))),
        Input(1, 0, """{"episode":"yard/peach/window/2027-03-01","kind":"seen"}"""u8),
        Input(1, 0, """{"episode":"yard/peach/window/2027-03-01","kind":"later","for":"6h"}"""u8),
    ];

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Words =>
        JournalEntry.Kinds.Concat(["\"note\":", "\"at\":", "\"on\":", "\"site\":", "null", "\\ud800", "1e400", "-0", "99999999999"])
            .Select(Encoding.UTF8.GetBytes);

    /// <inheritdoc/>
    protected override void Read(byte which, byte how, byte[] bytes)
    {
        if (which % 2 == 1)
        {
            var (answer, why) = AnswerPayload.Read(bytes);
            Assert.True(answer is null != (why is null));
            Assert.True(answer?.For is null || (answer.For > TimeSpan.Zero && answer.For <= TimeSpan.FromDays(30)));
            return;
        }

        JsonDocument json;
        try
        {
            json = JsonDocument.Parse(bytes);
        }
        catch (JsonException)
        {
            return; // Whoever reads the bytes says so.
        }

        using (json)
        {
            var entry = JournalJson.Read(json.RootElement, 7, "yard", out var reason);
            Assert.True(entry is null != (reason is null));
            if (entry is not null)
                Assert.Equal(entry, JournalJson.Read(JournalJson.Write(entry), entry.Number, "yard"));
        }
    }
}
