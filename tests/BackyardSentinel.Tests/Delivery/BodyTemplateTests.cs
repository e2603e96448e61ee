using System.Text.Json;
using BackyardSentinel.Contract;
using Microsoft.AspNetCore.WebUtilities;

namespace BackyardSentinel.Delivery;

/// <summary>What escaping must give is judged by general readers of JSON and of forms, not by our own.</summary>
public sealed class BodyTemplateTests
{
    private static readonly AlertMessage Alert = Some.Alert("a") with
    {
        Title = "Wall \"x\" \\ & =+% ü",
        Text = "one\ntwo\t<b> \u2028 😀",
        Facts = new Dictionary<string, string> { ["rain_mm"] = "13.6" },
    };

    [Fact]
    public void Json_stays_json_whatever_is_put_in()
    {
        using var json = JsonDocument.Parse(
            Render(
                "{\"t\":\"{{ title }}\",\"b\":\"{{ text }}\",\"mm\":{{ facts.rain_mm | default: "
                    + "0 }}{% if plantings %},\"p\":\"{{ plantings }}\"{% endif %}}",
                WebhookContent.Json));

        Assert.Equal(Alert.Title, json.RootElement.GetProperty("t").GetString());
        Assert.Equal(Alert.Text, json.RootElement.GetProperty("b").GetString());
        Assert.Equal(13.6, json.RootElement.GetProperty("mm").GetDouble());
        Assert.Equal("white-peach", json.RootElement.GetProperty("p").GetString());
    }

    [Fact]
    public void Form_fields_stay_apart_whatever_is_put_in()
    {
        var form = QueryHelpers.ParseQuery(Render("title={{ title }}&message={{ text }}", WebhookContent.Form));

        Assert.Equal(2, form.Count);
        Assert.Equal(Alert.Title, form["title"].ToString());
        Assert.Equal(Alert.Text, form["message"].ToString());
    }

    [Fact]
    public void Text_is_put_in_as_it_is() =>
        Assert.Equal($"{Alert.Title}: {Alert.Text}", Render("{{ title }}: {{ text }}", WebhookContent.Text));

    [Theory]
    [InlineData("{{ title", WebhookContent.Text, "is not a Liquid template")]
    [InlineData("{\"a\": {{ title }}}", WebhookContent.Json, "does not make JSON")]
    [InlineData("{\"level\": {{ level }}}", WebhookContent.Json, "does not make JSON")]
    [InlineData("{\"mm\": {{ facts.rain_mm }}}", WebhookContent.Json, "does not make JSON")]
    [InlineData("{% for i in (1..1000000000) %}x{% endfor %}", WebhookContent.Text, "has a range, such as (1..9)")]
    [InlineData("{% assign n = (1..title.size) %}x", WebhookContent.Text, "has a range, such as (1..9)")]
    [InlineData("{% assign n = '1,2' | split: ',' %}{% for a in n %}{% for b in n %}{% for c in n %}{% for d in n %}{% for e in n %}"
        + "{% for f in n %}{% for g in n %}{% for h in n %}{% for i in n %}{% for j in n %}{% for k in n %}{% for l in n %}{% for m in n %}"
        + "{% for o in n %}x{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}"
        + "{% endfor %}{% endfor %}{% endfor %}{% endfor %}{% endfor %}", WebhookContent.Text, "cannot be filled in")]
    [InlineData("{{ titel }}", WebhookContent.Text, "has the name titel, which is none; there are id, episode, ")]
    [InlineData("{{ title }} {{ sites.first }}", WebhookContent.Text, "has the name sites")]
    [InlineData("{{ title | shorten }}", WebhookContent.Text, "cannot be filled in")]
    [InlineData("{{ facts.nothing_of_the_kind }}", WebhookContent.Text, "makes an empty message")]
    [InlineData(" ", WebhookContent.Text, "makes an empty message")]
    public void A_template_that_cannot_work_is_told_at_once(string source, WebhookContent content, string reason)
    {
        Assert.False(BodyTemplate.TryParse(source, content, out _, out var why));
        Assert.StartsWith(reason, why, StringComparison.Ordinal);
    }

    [Fact]
    public void Names_of_the_templates_own_and_those_of_other_alerts_are_none_too_many() =>
        Assert.Equal(
            $"wall: {Alert.Title} ",
            Render("{% assign where = \"wall\" %}{{ where }}: {{ title }} {{ facts.wet_hours }}", WebhookContent.Text));

    private static string Render(string source, WebhookContent content)
    {
        Assert.True(BodyTemplate.TryParse(source, content, out var template, out var reason), reason);
        Assert.True(template!.TryRender(Alert, out var body, out reason), reason);
        return body!;
    }
}
