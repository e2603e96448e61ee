using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>Says what there is to say about messages, at most once an hour for each series and kind: sensors repeat themselves.</summary>
public sealed class RemarkLog(TimeProvider time, ILogger log)
{
    private static readonly TimeSpan Quiet = TimeSpan.FromHours(1);
    private readonly Dictionary<(string Source, string Kind), long> _said = [];

    /// <summary>Says once an hour why a message that holds no readings could not be taken.</summary>
    public void Refuse(string topic, Sentence reason) => Say(topic, [new PayloadRemark(RemarkKind.Refused, null, reason)]);

    /// <summary>Says once an hour that readings keep coming late.</summary>
    /// <param name="last">The last series that did, and by how much.</param>
    /// <param name="pause">How rarely they are judged.</param>
    public void KeepComing((string Series, TimeSpan By) last, TimeSpan pause)
    {
        if (!IsNews(last.Series, "late")) return;
        log.Warning(
            "Readings keep coming late, the last of {Series} by {Minutes} minutes. They are judged at their own time, "
                + "but only every {Pause} minutes. Is the sensor's clock slow?",
            last.Series, (long)last.By.TotalMinutes, (long)pause.TotalMinutes);
    }

    /// <summary>Says once an hour for each topic and kind of fault that the program itself failed at a message.</summary>
    public void Fault(string topic, Exception fault)
    {
        if (IsNews(topic, fault.GetType().Name))
            log.Error(
                fault,
                "{Topic}: the program failed to read a message ({Reason}), which is a fault of the program; please report it. "
                    + "The message is kept aside; the command 'refused' lists it.",
                topic,
                fault.Message.TrimEnd('.'));
    }

    /// <summary>Says once an hour for each series and verdict that a reading was not taken.</summary>
    public void NotTaken(SeriesMap map, QualityVerdict verdict, string sentence)
    {
        if (IsNews(map.Name, verdict.ToString()))
            log.Warning("{Topic}: {Reason} It is kept aside; the command 'refused' lists it.", map.Topic, Ended(sentence));
    }

    /// <summary>Says once an hour for each series and kind what there is to say of a message.</summary>
    public void Say(string topic, List<PayloadRemark> remarks)
    {
        foreach (var remark in remarks)
        {
            if (!IsNews(remark.Series ?? topic, remark.Kind.ToString())) continue;
            switch (remark.Kind)
            {
                case RemarkKind.Refused:
                    log.Warning(
                        "{Topic}: {Reason} The message is kept aside; the command 'refused' lists it.",
                        topic,
                        Ended(remark.Reason.Text));
                    break;
                case RemarkKind.Note:
                    log.Information("{Topic}: {Reason}.", topic, remark.Reason.Text);
                    break;
                default:
                    log.Debug("{Topic}: {Reason}.", topic, remark.Reason.Text);
                    break;
            }
        }
    }

    /// <summary>A reason with the mark that ends its sentence.</summary>
    public static string Ended(string reason) => reason.EndsWith('?') ? reason : reason + ".";

    private bool IsNews(string source, string kind)
    {
        if (_said.TryGetValue((source, kind), out var at) && time.GetElapsedTime(at) < Quiet) return false;
        _said[(source, kind)] = time.GetTimestamp();
        return true;
    }
}
