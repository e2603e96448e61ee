using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Security.Authentication;

namespace BackyardSentinel.Delivery;

/// <summary>What one request carries, and what each answer or failure means, told by a stand-in for the network.</summary>
public sealed class WebhookEdgesTests
{
    private const string NoName = "has a host name that cannot be looked up. Is this computer online, and is the name spelt right?";

    private static readonly FakeTimeProvider Time = new(Some.Morning);

    private static readonly ReceiverSettings Phone = new() { Id = "phone", Url = "https://alerts.example:8443/hook/t0psecret-token" };

    private static WebhookReceiver Made(ReceiverSettings settings, Wire wire)
    {
        Assert.True(
            WebhookReceiver.TryCreate(settings, new HttpMessageInvoker(wire), Time, () => true, out var receiver, out var reason), reason);
        return receiver!;
    }

    private static async Task<DeliveryResult> Answered(
        int status, string body = "", Action<HttpResponseHeaders>? headers = null, ReceiverSettings? settings = null)
    {
        using var wire = new Wire(() =>
        {
            var response = new HttpResponseMessage((HttpStatusCode)status) { Content = new StringContent(body) };
            headers?.Invoke(response.Headers);
            return response;
        });
        return await Made(settings ?? Phone, wire).SendAsync(Some.Alert("a"), TestContext.Current.CancellationToken);
    }

    private static async Task<string> Failed(Exception failure)
    {
        using var wire = new Wire(() => throw failure);
        return Assert.IsType<DeliveryResult.RetryLater>(
            await Made(Phone, wire).SendAsync(Some.Alert("a"), TestContext.Current.CancellationToken)).Reason;
    }

    [Theory]
    [InlineData(199, "Rejected", "refused the message and answered 199")]
    [InlineData(200, "Delivered", "answered 200")]
    [InlineData(299, "Delivered", "answered 299")]
    [InlineData(300, "Rejected", "answered 300 and points to another path")]
    [InlineData(399, "Rejected", "answered 399 and points to another path")]
    [InlineData(400, "Rejected", "refused the message and answered 400")]
    [InlineData(407, "Rejected", "refused the message and answered 407")]
    [InlineData(408, "RetryLater", "answered 408. It is tried again.")]
    [InlineData(409, "Rejected", "refused the message and answered 409")]
    [InlineData(410, "Rejected", "answered 410: it is gone")]
    [InlineData(425, "RetryLater", "answered 425. It is tried again.")]
    [InlineData(428, "Rejected", "refused the message and answered 428")]
    [InlineData(429, "RetryLater", "answered 429. It is tried again.")]
    [InlineData(499, "Rejected", "refused the message and answered 499")]
    [InlineData(500, "RetryLater", "answered 500. It is tried again.")]
    [InlineData(599, "RetryLater", "answered 599. It is tried again.")]
    public async Task Each_status_means_one_of_three_things(int status, string meaning, string said)
    {
        var result = await Answered(status);
        Assert.Equal(meaning, result.GetType().Name);
        Assert.Contains(said, result.ToString(), StringComparison.Ordinal);
        Assert.Equal(status == 410, result is DeliveryResult.Rejected { SwitchOff: true });
        Assert.Equal(
            meaning != "Delivered", result.ToString().Contains("(https://alerts.example:8443)", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(86_399, 86_399)]
    [InlineData(86_400, 86_400)]
    [InlineData(86_401, 86_400)]
    [InlineData(0, 0)]
    public async Task A_pause_of_a_day_at_most_may_be_asked_for(int asked, int given)
    {
        var later = Assert.IsType<DeliveryResult.RetryLater>(
            await Answered(429, headers: one => one.RetryAfter = new RetryConditionHeaderValue(TimeSpan.FromSeconds(asked))));
        Assert.Equal(TimeSpan.FromSeconds(given), later.After);
        var told = given > 0 ? "It asks for a pause: it is tried again in 24 hours." : "It is tried again.";
        Assert.EndsWith(told, later.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Of_an_answer_two_hundred_letters_are_shown()
    {
        Assert.Equal(
            "answered 200: " + new string('x', 200),
            Assert.IsType<DeliveryResult.Delivered>(await Answered(200, new string('x', 200))).Answer);
        Assert.Equal(
            "answered 200: " + new string('x', 200) + "…",
            Assert.IsType<DeliveryResult.Delivered>(await Answered(200, new string('x', 201))).Answer);
    }

    [Theory]
    [InlineData(SocketError.HostNotFound, NoName)]
    [InlineData(SocketError.NoData, NoName)]
    [InlineData(SocketError.TryAgain, NoName)]
    [InlineData(SocketError.ConnectionRefused, "refuses the connection. Is the service there running?")]
    [InlineData(SocketError.HostUnreachable, "cannot be reached over the network.")]
    public async Task A_network_that_fails_says_how(SocketError error, string said) => Assert.Equal(
        $"The destination phone (https://alerts.example:8443) {said} It is tried again.",
        await Failed(new HttpRequestException("x", new SocketException((int)error))));

    [Theory]
    [InlineData("RemoteCertificateNameMismatch", "shows a certificate for another host name. Is the address right?")]
    [InlineData("NotTimeValid", "shows a certificate that has expired or is not valid yet.")]
    [InlineData("PartialChain", "shows a certificate that nobody this computer trusts has signed.")]
    [InlineData("UntrustedRoot", "shows a certificate that nobody this computer trusts has signed.")]
    [InlineData("handshake", "cannot agree on an encrypted connection.")]
    public async Task A_certificate_that_cannot_be_trusted_says_why(string message, string said) => Assert.Contains(
        said, await Failed(new HttpRequestException("x", new AuthenticationException(message))), StringComparison.Ordinal);

    [Fact]
    public async Task What_breaks_off_is_tried_again()
    {
        Assert.Contains("broke the connection off. It is tried again.", await Failed(new IOException()), StringComparison.Ordinal);
        Assert.Contains("broke the connection off. It is tried again.", await Failed(new HttpRequestException()), StringComparison.Ordinal);
        Assert.Contains(
            "cannot agree on an encrypted connection",
            await Failed(new HttpRequestException(HttpRequestError.SecureConnectionError)),
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_body_has_twenty_thousand_bytes_at_most()
    {
        var text = Phone with { Content = WebhookContent.Text, Template = new string('é', 10_000) };
        Assert.IsType<DeliveryResult.Delivered>(await Answered(200, settings: text));
        Assert.Equal(
            "The destination phone got nothing: the body would be 20001 bytes, and 20000 is the most. Shorten its template.",
            Assert.IsType<DeliveryResult.Rejected>(await Answered(200, settings: text with { Template = text.Template + "x" })).Reason);
    }

    [Fact]
    public async Task A_request_carries_what_the_garden_file_says_and_its_own_id()
    {
        using var wire = new Wire(() => new HttpResponseMessage());
        var settings = Phone with
        {
            Content = WebhookContent.Text,
            Headers =
            [
                new ReceiverHeader("User-Agent", "mine", false),
                new ReceiverHeader("content-type", "text/markdown", false),
                new ReceiverHeader("X-Tags_1", "peach ~", false),
            ],
        };
        await Made(settings, wire).SendAsync(Some.Alert("a"), TestContext.Current.CancellationToken);
        Assert.Equal(
            ["User-Agent: mine", "X-Tags_1: peach ~", "webhook-id: a", "Content-Type: text/markdown"],
            wire.Headers);
        Assert.Equal("South wall: likely\n\nWet since 20:10.\n13.6 mm \"so far\".\n", wire.Body);
        // What tells one receiver from another is the address, of which nothing shows.
        Assert.Matches("^[0-9a-f]{16}$", Made(Phone, wire).Fingerprint);
        Assert.NotEqual(Made(Phone, wire).Fingerprint, Made(Phone with { Url = "https://alerts.example/" }, wire).Fingerprint);
    }

    [Theory]
    [InlineData(WebhookContent.Standard, null, "application/json")]
    [InlineData(WebhookContent.Json, "{}", "application/json")]
    [InlineData(WebhookContent.Text, "x", "text/plain; charset=utf-8")]
    [InlineData(WebhookContent.Form, "a=b", "application/x-www-form-urlencoded")]
    public async Task Each_content_has_its_type(WebhookContent content, string? template, string type)
    {
        using var wire = new Wire(() => new HttpResponseMessage());
        await Made(Phone with { Content = content, Template = template }, wire).SendAsync(
            Some.Alert("a"), TestContext.Current.CancellationToken);
        Assert.Contains($"Content-Type: {type}", wire.Headers);
    }

    [Theory]
    [InlineData("", "x")]
    [InlineData("X Y", "x")]
    [InlineData("X:Y", "x")]
    [InlineData("webhook-id", "x")]
    [InlineData("Webhook-Extra", "x")]
    [InlineData("X-A", "a\u007f")]
    [InlineData("X-A", "a\u001f")]
    [InlineData("X-A", "é")]
    public void A_header_that_cannot_be_sent_is_named(string name, string value)
    {
        var settings = Phone with { Headers = [new ReceiverHeader("X-Good", "fine ~", false), new ReceiverHeader(name, value, false)] };
        Assert.False(WebhookReceiver.TryCreate(settings, new HttpMessageInvoker(new Wire(null!)), Time, () => true, out _, out var reason));
        Assert.StartsWith($"The header {name} of the destination phone cannot be sent", reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "must be one, or two")]
    [InlineData("{0}", null)]
    [InlineData("{0} {0}", null)]
    [InlineData("{0} {0} {0}", "must be one, or two")]
    [InlineData("{0} whsec_short", "is no webhook secret")]
    public void One_secret_is_taken_or_two(string secrets, string? reason)
    {
        var settings = Phone with { Secret = string.Format(CultureInfo.InvariantCulture, secrets, Some.Secret) };
        var isMade = WebhookReceiver.TryCreate(settings, new HttpMessageInvoker(new Wire(null!)), Time, () => true, out _, out var why);
        Assert.Equal((reason is null, reason is null), (isMade, why is null));
        Assert.Contains(reason ?? "", why ?? "", StringComparison.Ordinal);
    }

    /// <summary>Of an address the parts that are too short for a key are shown, and so is what is no secret.</summary>
    [Theory]
    [InlineData("https://x.example/abcdef/ghijk?k=lmnopq&z=rstuv", "abcdef ghijk lmnopq rstuv", "… ghijk … rstuv")]
    [InlineData("https://abc:de@x.example/", "abc de YWJjOmRl", "… de …")]
    [InlineData("https://us%20er:x@x.example/", "us%20er|us er|US ER", "…|…|…")]
    public async Task Secrets_are_taken_out_of_what_a_server_says(string url, string said, string shown) =>
        Assert.Equal(
            "answered 200: " + shown,
            Assert.IsType<DeliveryResult.Delivered>(await Answered(200, said, settings: Phone with { Url = url })).Answer);

    [Theory]
    [InlineData("Bearer h3ader", "Bearer h3ader h3ader Bearer", true, "… … …")]
    [InlineData("Basic YWI6Y2Q=", "ab:cd", true, "…")]
    [InlineData("Basic bG9uZy11c2VyOmxvbmctd29yZA==", "long-user and long-word", true, "… and …")]
    [InlineData("Bearer h3ader", "Bearer h3ader", false, "Bearer h3ader")]
    public async Task Secret_headers_are_taken_out_too(string value, string said, bool isSecret, string shown) =>
        Assert.Equal(
            "answered 200: " + shown,
            Assert.IsType<DeliveryResult.Delivered>(
                await Answered(200, said, settings: Phone with { Headers = [new ReceiverHeader("X-Key", value, isSecret)] })).Answer);

    /// <summary>Stands in for the network: keeps what was sent, and answers as it is told.</summary>
    private sealed class Wire(Func<HttpResponseMessage> answer) : HttpMessageHandler
    {
        public List<string> Headers { get; } = [];

        public string? Body { get; private set; }

        protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
        {
            Headers.AddRange(
                request.Headers.Concat(request.Content!.Headers.Where(one => one.Key != "Content-Length"))
                    .Select(one => $"{one.Key}: {string.Join(' ', one.Value)}"));
            Body = await request.Content.ReadAsStringAsync(cancellationToken);
            return answer();
        }
    }
}
