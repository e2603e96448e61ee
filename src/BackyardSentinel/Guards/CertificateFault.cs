using System.Security.Authentication;

namespace BackyardSentinel.Guards;

/// <summary>What is wrong with the certificate that a web server shows, as the end of a sentence about it.</summary>
internal static class CertificateFault
{
    /// <summary>
    /// What made a request fail; <c>null</c>: it was no certificate. The runtime names the chain's faults in its message only.
    /// </summary>
    /// <param name="failure">The failure, which may have causes.</param>
    public static string? Of(Exception? failure)
    {
        while (failure is not (null or AuthenticationException))
            failure = failure.InnerException;
        return failure?.Message switch
        {
            null => null,
            var message when Says(message, "RemoteCertificateNameMismatch") =>
                "shows a certificate for another host name. Is the address right?",
            var message when Says(message, "NotTimeValid") =>
                "shows a certificate that has expired or is not valid yet. Is this computer's clock right? "
                    + "Otherwise it must be renewed over there",
            var message when Says(message, "UntrustedRoot") || Says(message, "PartialChain") =>
                "shows a certificate that nobody this computer trusts has signed. If it is your own, add its authority to this "
                    + "computer's (docs/install.md says how)",
            _ => null,
        };
    }

    private static bool Says(string message, string flag) => message.Contains(flag, StringComparison.Ordinal);
}
