using System.Security.Cryptography;

namespace BackyardSentinel.Delivery;

public sealed class StandardWebhookTests
{
    /// <summary>The example secret, message and signature published with the Standard Webhooks specification and its libraries.</summary>
    private const string Secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw";

    [Fact]
    public void The_published_example_gives_the_published_signature() =>
        Assert.Equal(
            "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
            StandardWebhook.Sign("msg_p5jXN8AQM9LWM0D4loKWxJek", 1614265330, "{\"test\": 2432232314}"u8, Secret));

    [Fact]
    public void Any_body_is_signed_as_an_hmac_of_id_time_and_body()
    {
        // The source: RFC 2104 HMAC of the .NET library over the text that the specification names, put together anew here.
        const string body = "{\"text\":\"Südwand: naß\"}";
        using var hmac = new HMACSHA256(Convert.FromBase64String("MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"));
        var expected = Convert.ToBase64String(hmac.ComputeHash(Encoding.UTF8.GetBytes("wall-1.1800000000." + body)));

        Assert.Equal("v1," + expected, StandardWebhook.Sign("wall-1", 1800000000, Encoding.UTF8.GetBytes(body), Secret));
    }

    [Fact]
    public void An_id_with_a_full_stop_is_refused() =>
        Assert.Throws<ArgumentException>(() => StandardWebhook.Sign("a.1", 1, "x"u8, Secret));

    [Theory]
    [InlineData("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", true)]
    [InlineData("MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", false)]
    [InlineData("whsec_c2hvcnQ=", false)]
    [InlineData("whsec_not base64!", false)]
    [InlineData("whsec_", false)]
    public void A_secret_is_24_to_64_bytes_of_base64_behind_its_prefix(string text, bool isSecret) =>
        Assert.Equal(isSecret, StandardWebhook.IsSecret(text));

    [Theory]
    [InlineData(23, false)]
    [InlineData(24, true)]
    [InlineData(64, true)]
    [InlineData(65, false)]
    public void A_secret_of_the_least_and_the_most_bytes_is_one(int bytes, bool isSecret) =>
        Assert.Equal(isSecret, StandardWebhook.IsSecret("whsec_" + Convert.ToBase64String(new byte[bytes])));
}
