using System.Collections.Concurrent;
using System.Net;
using AngleSharp.Html.Dom;
using AngleSharp.Html.Parser;
using BackyardSentinel.Contract;
using BackyardSentinel.Hosting;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Web.Access;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Web;

/// <summary>
/// A page that is really served, over the loop and the store of an invented garden, for tests of what a browser gets. The
/// garden's past is fed first, at the readings' own times; then the clock stands until <see cref="Time"/> is moved.
/// </summary>
public sealed class PageHouse : IAsyncDisposable
{
    private static readonly HtmlParser Html = new(new HtmlParserOptions { IsStrictMode = true });

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-page-").FullName;
    private readonly CancellationTokenSource _stop = new();
    private readonly Sentences _said = new();
    private readonly Logger _log;
    private readonly PageKeys _keys = PageKeys.Passing();
    private readonly LoopParts _parts;
    private readonly SentinelStore _store;
    private readonly JournalBook _journal;
    private readonly PageBooks _books;
    private Task _looping = Task.CompletedTask, _serving = Task.CompletedTask;
    private HttpClient? _browser;

    private PageHouse(PageGarden garden)
    {
        _log = new LoggerConfiguration().WriteTo.Sink(_said).CreateLogger();
        var path = Path.Combine(_folder, "sentinel.db");
        var (file, problems) = GardenFileReader.ReadText(Path.Combine(_folder, "garden.yaml"), garden.File);
        Assert.True(file is not null, string.Join('\n', problems));
        file = garden.Change?.Invoke(file) ?? file;
        File = file with { Store = file.Store with { Path = path } };
        Time = new FakeTimeProvider(garden.Now);
        _store = SentinelStore.Open(path);
        _store.MarkServed();
        (_journal, _books) = (JournalBook.Beside(path), PageBooks.Beside(path));
        foreach (var entry in garden.Journal)
            _journal.Add(entry, new DateTimeOffset(entry.On, new TimeOnly(18, 0), TimeSpan.Zero));
        StoreBatch told = new();
        told.Outbox.AddRange(garden.Told.Select(message => new OutboxRow(
            message.Id,
            "phone",
            message.Episode,
            message.At.ToUnixTimeMilliseconds(),
            message.UsefulUntil.ToUnixTimeMilliseconds(),
            Encoding.UTF8.GetString(AlertJson.Write(message)))
        {
            State = OutboxState.Delivered,
        }));
        _store.Commit(told);
        _parts = new LoopParts { Journal = _journal, KeepAlmanac = true };
        if (garden.Forecast is { } forecast)
            _parts.Forecasts.Put(forecast);
    }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    /// <summary>The garden as it was read.</summary>
    public GardenFile File { get; }

    /// <summary>The clock.</summary>
    public FakeTimeProvider Time { get; }

    /// <summary>The loop.</summary>
    public SentinelLoop Loop { get; private set; } = null!;

    /// <summary>The journal as it lies in the store, read beside the loop: two threads must not use the loop's own book at once.</summary>
    public IReadOnlyList<JournalRow> Journal
    {
        get
        {
            using var book = JournalBook.Reading(File.Store.Path);
            return book.Rows();
        }
    }

    /// <summary>A browser of the grower; it follows no redirection.</summary>
    public HttpClient Browser => _browser!;

    /// <summary>The key that may write.</summary>
    public string WriterKey => _keys.Writer;

    /// <summary>The key that may look.</summary>
    public string ReaderKey => _keys.Reader;

    /// <summary>What forms carry.</summary>
    public string Pass => _keys.FormPass;

    /// <summary>Told each sentence as the service says it in its log, on the thread that says it; <c>null</c>: nobody listens.</summary>
    public Action<string>? OnSaid { get => _said.OnSaid; set => _said.OnSaid = value; }

    /// <summary>What the service has said in its log.</summary>
    public string Said => string.Join('\n', _said);

    /// <summary>Opens it.</summary>
    /// <param name="garden">Over which garden; the invented one, in winter and without a word from its sensors, unless given.</param>
    public static async Task<PageHouse> OpenAsync(PageGarden? garden = null)
    {
        garden ??= new PageGarden();
        var house = new PageHouse(garden);
        await house.LivePastAsync(garden);
        await house.ServeAsync(garden);
        return house;
    }

    /// <summary>Lets time pass by ten minutes at a time, in each of which the sensors say something; judged when it returns.</summary>
    /// <param name="steps">So many times.</param>
    /// <param name="say">What they say at a moment.</param>
    public async Task LiveAsync(int steps, Func<DateTimeOffset, IEnumerable<ArrivedMessage>> say)
    {
        for (var i = 0; i < steps; i++)
        {
            Time.Advance(TimeSpan.FromMinutes(10));
            // A question may be answered before what waits is taken, and then the clock would run ahead of it: it would come late.
            foreach (var message in say(Time.GetUtcNow()))
            {
                var taken = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
                await Loop.OfferAsync(new ArrivedMessage(message.Topic, message.Payload, acknowledge: Taken), Ct);
                await taken.Task.WaitAsync(Ct);

                Task Taken(CancellationToken ct)
                {
                    taken.TrySetResult();
                    return Task.CompletedTask;
                }
            }

            await Loop.AskAsync(now => now.At, Ct);
        }
    }

    /// <summary>A page as a browser reads it; HTML that is not valid fails here.</summary>
    /// <param name="path">Its path.</param>
    public async Task<IHtmlDocument> GetAsync(string path)
    {
        using var answer = await Browser.GetAsync(new Uri(path, UriKind.Relative), Ct);
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{path}: {(int)answer.StatusCode}\n{Said}\n{text}");
        return Parse(text);
    }

    /// <summary>Sends a form as the page's own forms do.</summary>
    /// <param name="path">Where to.</param>
    /// <param name="fields">What it holds; the pass is added.</param>
    public async Task<HttpResponseMessage> PostAsync(string path, params (string Name, string Value)[] fields)
    {
        using var form = new FormUrlEncodedContent(
            fields.Select(field => KeyValuePair.Create(field.Name, field.Value)).Append(KeyValuePair.Create("pass", Pass)));
        return await Browser.PostAsync(new Uri(path, UriKind.Relative), form, Ct);
    }

    /// <summary>A page's text as a browser reads it; HTML that is not valid fails here.</summary>
    /// <param name="text">The text.</param>
    public static IHtmlDocument Parse(string text) => Html.ParseDocument(text);

    /// <inheritdoc cref="Parse(string)"/>
    /// <param name="answer">An answer.</param>
    public static async Task<IHtmlDocument> ParseAsync(HttpResponseMessage answer) => Parse(await answer.Content.ReadAsStringAsync(Ct));

    /// <summary>Another browser, with a key or without.</summary>
    /// <param name="key">The key; <c>null</c>: none.</param>
    public HttpClient BrowserWith(string? key)
    {
        // An address of the home network is this computer's as much as localhost is.
        var browser = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = Address };
        if (key is not null)
            browser.DefaultRequestHeaders.Add("Cookie", $"sentinel-key={key}");
        return browser;
    }

    /// <summary>Where the page is.</summary>
    public Uri Address { get; private set; } = null!;

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await Task.WhenAll(_looping, _serving);
        _browser?.Dispose();
        _books.Dispose();
        _journal.Dispose();
        _store.Dispose();
        _stop.Dispose();
        _log.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private async Task LivePastAsync(PageGarden garden)
    {
        if (garden.Past.Count == 0)
            return;
        var past = Made(TimeProvider.System, new LoopOptions
        {
            ClockFromReadings = true,
            MaxUnacknowledged = int.MaxValue,
            MaxRows = 10_000,
            Capacity = garden.Past.Count + 1,
        });
        foreach (var message in garden.Past)
            await past.OfferAsync(message, Ct);
        past.Complete();
        await past.RunAsync(CancellationToken.None);
    }

    private async Task ServeAsync(PageGarden garden)
    {
        Loop = Made(Time, new LoopOptions { CommitWindow = TimeSpan.Zero });
        var settings = (File.Page ?? new PageSettings()) with { Port = 0, Listen = garden.IsOnTheLan ? IPAddress.Any : IPAddress.Loopback };
        var served = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var server = new PageServer(
            settings,
            new PageParts(File, AlertWiring.WordsOf(File), Loop, _books)
            {
                Examine = garden.Examine,
                Listen = garden.Listen,
                LinkTrouble = () => garden.LinkTrouble,
                IsWell = () => Loop.IsWell && garden.LinkTrouble is null,
            },
            _keys,
            Time,
            _log)
        {
            OnServed = _ => served.SetResult(),
        };
        _looping = Loop.RunAsync(_stop.Token);
        _serving = server.RunAsync(_stop.Token);
        await served.Task;
        Address = new UriBuilder(Uri.UriSchemeHttp, "127.0.0.1", server.Port).Uri;
        _browser = BrowserWith(garden.IsOnTheLan ? WriterKey : null);
    }

    private SentinelLoop Made(TimeProvider time, LoopOptions options) => new(
        _store, new PayloadMap(File.Series, options.ClockFromReadings), File.Sites, _ => { }, options, time, _log, null, _parts);

    private sealed class Sentences : ConcurrentQueue<string>, ILogEventSink
    {
        public Action<string>? OnSaid { get; set; }

        public void Emit(LogEvent logEvent)
        {
            var said = logEvent.RenderMessage(CultureInfo.InvariantCulture);
            Enqueue($"{said} {logEvent.Exception}");
            OnSaid?.Invoke(said);
        }
    }
}
