using BackyardSentinel.Tests.Generated;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace BackyardSentinel.Tests;

/// <summary>Runs the tests as xunit's own entry point does; with the word <c>generate</c> writes the generated files instead.</summary>
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

        return args.Any(arg => arg is "--server" or "--internal-msbuild-node")
            ? await TestPlatformTestFramework.RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions)
            : await ConsoleRunner.Run(args);
    }
}
