using System.Globalization;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Commands;

/// <summary>Reads a broker's address as people write it.</summary>
internal static class BrokerAddress
{
    /// <summary>The broker at <c>HOST</c> or <c>HOST:PORT</c>.</summary>
    /// <param name="text">The address.</param>
    /// <param name="options">What else is known of the broker; its port stays where the address has none.</param>
    /// <param name="fault">Why it is no address, a sentence part.</param>
    public static BrokerOptions? Read(string text, BrokerOptions options, out string? fault)
    {
        fault = null;
        var colon = text.LastIndexOf(':');
        var (host, port) = colon < 0 ? (text, "") : (text[..colon], text[(colon + 1)..]);
        host = host.Trim('[', ']');
        var number = options.Port;
        if (host.Contains('@'))
            fault = "it holds a login, which the garden file names by username and password";
        else if (host.Length == 0 || host.AsSpan().ContainsAny('/', ' '))
            fault = $"\"{text}\" is not HOST or HOST:PORT, such as 192.168.1.20:1883";
        else if (port.Length > 0
            && !(int.TryParse(port, NumberStyles.None, CultureInfo.InvariantCulture, out number) && number is > 0 and < 65536))
            fault = $"\"{port}\" is not a port from 1 to 65535";
        return fault is null ? options with { Host = host, Port = number } : null;
    }
}
