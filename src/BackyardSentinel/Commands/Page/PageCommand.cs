using System.CommandLine;
using BackyardSentinel.Web.Access;

namespace BackyardSentinel.Commands.Page;

/// <summary>The command <c>page</c>: where the page is, and the keys to it.</summary>
public static class PageCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var garden = CommandRun.Garden();
        var renew = new Option<bool>("--renew") { Description = "Make new keys: whoever has the old ones is shut out" };
        var command = new Command("page", "Where the page is, and its keys, the one that writes as a code to scan") { garden, renew };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.Guarded(error, () => Run(parsed.GetValue(garden)!, parsed.GetValue(renew), output));
        });
        return command;
    }

    private static int Run(string path, bool renew, TextWriter output)
    {
        var garden = GardenProblemException.Read(path);
        if (garden.Page is not { } settings)
            throw new CommandProblemException(
                "The garden file has no part 'page', so no page is served; add 'page:' with 'listen: 127.0.0.1' to it.");
        if (settings.IsLocal && renew)
            throw new CommandProblemException("The page is for this computer alone and asks for no key, so there is none to renew.");
        new Invitation(HostNames.AddressOf(settings, settings.Port), settings.IsLocal ? null : KeysBeside(garden.Store.Path, renew))
            .Write(output, withKeys: true);
        if (renew)
            output.Write("They hold from now on: whoever has the old ones is shut out.\n");
        return ExitCode.Done;
    }

    /// <summary>The keys that the service has made; a file that somebody else makes it could not read.</summary>
    private static PageKeys KeysBeside(string store, bool renew)
    {
        var path = PageKeys.PathBeside(store);
        const string AsItsUser = "call this command as the user that the service runs as, or with sudo.";
        try
        {
            return PageKeys.Read(path) is not { } keys
                ? throw new CommandProblemException(
                    $"There are no keys in {path}: the service makes them when it starts for the first time. If it has, {AsItsUser}")
                : renew ? PageKeys.Renew(path) : keys;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new CommandProblemException(
                $"The keys of the page, {path}, cannot be {(renew ? "renewed" : "read")}: {failure.Message.TrimEnd('.')}. "
                    + $"Unless that says more, {AsItsUser}");
        }
    }
}
