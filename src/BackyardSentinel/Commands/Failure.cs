namespace BackyardSentinel.Commands;

/// <summary>The last word on what no command foresaw: a sentence, and the stack trace only when asked for.</summary>
public static class Failure
{
    /// <summary>Tells the failure and gives the exit code.</summary>
    /// <param name="failure">What happened.</param>
    /// <param name="verbose">Show the stack trace too.</param>
    /// <param name="error">Where to tell it.</param>
    public static int Tell(Exception failure, bool verbose, TextWriter error)
    {
        try
        {
            error.WriteLine(Sentence(failure.GetBaseException()));
            if (verbose)
                error.WriteLine(failure);
        }
        catch (IOException)
        {
            // Nobody can be told.
        }

        return ExitCode.BadInput;
    }

    private static string Sentence(Exception cause) =>
        cause is IOException or UnauthorizedAccessException
            ? $"A file or the output could not be read or written: {cause.Message.TrimEnd('.')}. "
                + "What was asked may have been done all the same. Look at the disk's free space and the rights to the files."
            : $"The program failed in a way it does not know ({cause.GetType().Name}: {cause.Message.TrimEnd('.')}). "
                + "Run it again with --verbose to see where, and please report it.";
}
