using System.Net;

namespace BackyardSentinel.Guards;

/// <summary>Blocks as in IANA's special-purpose address registries (RFC 6890 and its updates), from memory.</summary>
public sealed class PublicAddressTests
{
    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("0.0.0.0")]
    [InlineData("10.1.2.3")]
    [InlineData("172.16.0.1")]
    [InlineData("172.31.255.255")]
    [InlineData("192.168.1.1")]
    [InlineData("169.254.169.254")] // metadata
    [InlineData("100.64.0.1")]
    [InlineData("100.127.255.255")]
    [InlineData("100.100.100.200")]
    [InlineData("198.19.0.1")]
    [InlineData("192.0.2.1")]
    [InlineData("224.0.0.1")]
    [InlineData("255.255.255.255")]
    [InlineData("::")]
    [InlineData("::1")]
    [InlineData("::ffff:127.0.0.1")]
    [InlineData("::ffff:192.168.1.1")]
    [InlineData("::127.0.0.1")]
    [InlineData("fe80::1")]
    [InlineData("fec0::1")]
    [InlineData("fc00::1")]
    [InlineData("fd00:ec2::254")]
    [InlineData("ff02::1")]
    [InlineData("64:ff9b::10.0.0.1")]
    [InlineData("64:ff9b:1::1")]
    [InlineData("2002:7f00:1::1")]
    [InlineData("2001:0:1::1")]
    [InlineData("2001:db8::1")]
    public void Addresses_of_the_own_network_are_not_public(string address) =>
        Assert.False(PublicAddress.IsPublic(IPAddress.Parse(address)));

    [Theory]
    [InlineData("1.1.1.1")]
    [InlineData("9.255.255.255")]
    [InlineData("11.0.0.0")]
    [InlineData("100.63.255.255")]
    [InlineData("100.128.0.0")]
    [InlineData("172.15.255.255")]
    [InlineData("172.32.0.0")]
    [InlineData("169.253.255.255")]
    [InlineData("223.255.255.255")]
    [InlineData("::ffff:1.1.1.1")]
    [InlineData("64:ff9b::101:101")]
    [InlineData("2606:4700::1111")]
    [InlineData("2001:200::1")]
    public void Addresses_just_outside_those_blocks_are_public(string address) =>
        Assert.True(PublicAddress.IsPublic(IPAddress.Parse(address)));

    [Theory]
    [InlineData("http://127.0.0.1:1/")]
    [InlineData("http://[::1]:1/")]
    [InlineData("http://[::ffff:127.0.0.1]:1/")]
    [InlineData("http://localhost:1/")]
    public async Task The_handler_refuses_at_the_moment_of_connecting(string url)
    {
        using var http = new HttpClient(PublicAddress.Handler(allowPrivate: false));

        var thrown = await Assert.ThrowsAsync<HttpRequestException>(() =>
            http.GetAsync(new Uri(url), TestContext.Current.CancellationToken));

        Assert.Contains("own network", Assert.IsType<PrivateAddressException>(thrown.InnerException).Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_private_address_is_connected_to_where_allowed()
    {
        using var http = new HttpClient(PublicAddress.Handler(allowPrivate: true));

        // Nobody listens on port 1: the attempt itself fails, which shows that it was made.
        var thrown = await Assert.ThrowsAsync<HttpRequestException>(() =>
            http.GetAsync(new Uri("http://127.0.0.1:1/"), TestContext.Current.CancellationToken)
        );

        Assert.IsNotType<PrivateAddressException>(thrown.InnerException);
    }
}
