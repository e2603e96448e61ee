using BackyardSentinel.Tests.Fuzzing;
using BackyardSentinel.Tests.Generated;
using BackyardSentinel.Web;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace BackyardSentinel.Tests;

/// <summary>
/// Runs the tests as xunit's own entry point does. With the word <c>generate</c> it writes the generated files instead; with
/// <c>page STATE</c> it serves the page in one of its states until Enter is pressed, to be looked at; with <c>de</c> behind in German.
/// With <c>fuzz READER</c> it gives what comes on standard input to one of the readers, for tests/bench/follow.cs.
/// </summary>
internal static class EntryPoint
{
    public static async Task<int> Main(string[] args)
    {
        if (args is ["generate"])
        {
            foreach (var file in GeneratedFile.All.Where(file => !file.IsTrue()))
            {
                file.Write();
                Console.WriteLine(file.Path);
            }

            return 0;
        }

        if (args is ["page", var state, .. var language])
        {
            if (!PageStates.All.TryGetValue(state, out var garden))
            {
                Console.WriteLine($"The states are {string.Join(", ", PageStates.All.Keys)}.");
                return 64;
            }

            await using var house = await PageHouse.OpenAsync(language is ["de"] ? garden.InGerman() : garden);
            Console.WriteLine($"{house.Address} until Enter is pressed");
            Console.ReadLine();
            return 0;
        }

        if (args is ["fuzz", var reader, .. var folder])
            return FuzzedReader.Run(reader, folder);

        return args.Any(arg => arg is "--server" or "--internal-msbuild-node")
            ? await TestPlatformTestFramework.RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions)
            : await ConsoleRunner.Run(args);
    }
}
