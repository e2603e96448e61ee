using BackyardSentinel.Forecasts;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Wording;
using Polly;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>Takes the messages that are no readings: forecasts and the grower's answers to alerts.</summary>
internal sealed class SideMessages(
    LoopParts parts, SeasonKeeper keeper, Refusals refusals, ResiliencePipeline patience, ILogger log)
{
    /// <summary>Takes a message if its topic is one of these.</summary>
    /// <param name="message">The message.</param>
    /// <param name="now">Now.</param>
    /// <param name="ct">Gives up while the store takes nothing.</param>
    public async ValueTask<bool> TryTakeAsync(ArrivedMessage message, DateTimeOffset now, CancellationToken ct)
    {
        if (message.Topic == parts.ForecastTopic?.Topic)
        {
            TakeForecast(message, now);
            return true;
        }

        if (message.Topic != parts.AnswerTopic)
            return false;
        await TakeAnswerAsync(message, now, ct).ConfigureAwait(false);
        return true;
    }

    private void TakeForecast(ArrivedMessage message, DateTimeOffset now)
    {
        if (!refusals.TryRead(
                message,
                now,
                () => ForecastReader.Read(message.Payload, parts.ForecastTopic!.Value.Map, now, ageUnknown: message.Retained),
                out var result))
            return;
        if (result.Forecast is { } forecast)
            keeper.TakeForecast(forecast);
        foreach (var remark in result.Remarks)
            log.Debug("{Topic}: {Remark}", message.Topic, remark);
        if (result.Reason is { } reason)
            refusals.Refuse(message, Sentence.InEnglish(reason), now);
    }

    private async ValueTask TakeAnswerAsync(ArrivedMessage message, DateTimeOffset now, CancellationToken ct)
    {
        if (message.Retained)
        {
            // It comes again with each new session of ours, and 'later' would count anew from then.
            refusals.Refuse(message, $"an answer that the broker has kept counts for nothing; publish it without the retain flag", now);
            return;
        }

        if (!refusals.TryRead(message, now, () => AnswerPayload.Read(message.Payload), out var read))
            return;
        var (answer, reason) = read;
        if (answer is null || parts.Answers is not { } answers)
        {
            refusals.Refuse(message, Sentence.InEnglish(reason ?? "answers are not taken here"), now);
            return;
        }

        // Another program may hold the store for longer than a writer waits.
        var (_, unknown) = await patience
            .ExecuteAsync(
                _ => ValueTask.FromResult(answers.Answer(answer.Episode, answer.For is { } span ? now + span : null, now)), ct)
            .ConfigureAwait(false);
        if (unknown is not null)
            refusals.Refuse(message, unknown, now);
    }
}
