using System.Globalization;
using System.Text;
using System.Text.Json;
using MQTTnet;
using MQTTnet.Protocol;

namespace BackyardSentinel.Demo;

/// <summary>
/// The demo's sensor hub: a client like any other that publishes the invented weather through the broker, the season
/// in fast time, then on in real time.
/// </summary>
/// <param name="port">The broker's port.</param>
/// <param name="stateTopic">Where the service says that it watches.</param>
/// <param name="weatherTopic">Where the service publishes the interval it judged last.</param>
/// <param name="fastTime">How long the season takes.</param>
/// <param name="time">The clock.</param>
public sealed class DemoHub(int port, string stateTopic, string weatherTopic, TimeSpan fastTime, TimeProvider time)
{
    // The last reading of the season lets the service judge what ended a step before it.
    private static readonly DateTimeOffset LastJudged = DemoWeather.End - (2 * DemoWeather.Step);

    private static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(40);

    /// <summary>Publishes until cancelled.</summary>
    /// <param name="onStoryTold">Called when the fast season is over and the service has judged all of it, which takes a slow
    /// computer longer.</param>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(Action onStoryTold, CancellationToken ct)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        var online = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var judged = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        client.ApplicationMessageReceivedAsync += arrived =>
        {
            if (arrived.ApplicationMessage.Topic == stateTopic)
                online.TrySetResult();
            else if (EndOf(arrived.ApplicationMessage) >= LastJudged)
                judged.TrySetResult();
            return Task.CompletedTask;
        };
        var options = new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("demo-hub").Build();
        await client.ConnectAsync(options, ct).ConfigureAwait(false);
        await client.SubscribeAsync(stateTopic, MqttQualityOfServiceLevel.AtLeastOnce, ct).ConfigureAwait(false);
        await client.SubscribeAsync(weatherTopic, MqttQualityOfServiceLevel.AtLeastOnce, ct).ConfigureAwait(false);
        await online.Task.WaitAsync(ct).ConfigureAwait(false);

        var next = DemoWeather.FirstReport;
        var speed = (DemoWeather.End - DemoWeather.Begin) / fastTime;
        var began = time.GetTimestamp();
        while (next < DemoWeather.End)
        {
            for (
                var due = DemoWeather.Begin + (time.GetElapsedTime(began) * speed);
                next <= due && next < DemoWeather.End;
                next += DemoWeather.Step)
                await PublishAsync(client, next, ct).ConfigureAwait(false);
            await Task.Delay(Pace, time, ct).ConfigureAwait(false);
        }

        await judged.Task.WaitAsync(ct).ConfigureAwait(false);
        onStoryTold();
        for (; ; next += TimeSpan.FromMinutes(1))
        {
            await PublishAsync(client, next, ct).ConfigureAwait(false);
            await Task.Delay(TimeSpan.FromMinutes(1), time, ct).ConfigureAwait(false);
        }
    }

    private static DateTimeOffset EndOf(MqttApplicationMessage weather)
    {
        using var document = JsonDocument.Parse(weather.Payload);
        return document.RootElement.GetProperty("end").GetDateTimeOffset();
    }

    private static async Task PublishAsync(IMqttClient client, DateTimeOffset at, CancellationToken ct)
    {
        if (DemoWeather.At(at) is not { } sample)
            return;
        var payload = string.Create(CultureInfo.InvariantCulture,
            $$"""{"time":"{{at:yyyy-MM-ddTHH:mm:ss}}Z","air":{"temp":{{sample.TemperatureC}},"hum":{{sample.HumidityPct}}},"leaf":{{sample.LeafWetnessPct}},"rain":{{sample.RainMm}}}""");
        var message = new MqttApplicationMessageBuilder()
            .WithTopic(DemoGarden.HubTopic)
            .WithPayload(Encoding.UTF8.GetBytes(payload))
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .Build();
        await client.PublishAsync(message, ct).ConfigureAwait(false);
    }
}
