using System.Text.Json;
using System.Text.Json.Serialization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>Writes a closed set by its words: those that the core speaks, which are in the schema, too.</summary>
/// <typeparam name="T">The set.</typeparam>
/// <param name="word">The word of each value.</param>
public abstract class WordConverter<T>(Func<T, string> word) : JsonConverter<T>, IWords
    where T : struct, Enum
{
    /// <inheritdoc/>
    /// <remarks>Made when asked for: a command that only writes starts without.</remarks>
    public IReadOnlyList<string> Words => [.. Enum.GetValues<T>().Order().Select(word)];

    /// <inheritdoc/>
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        var text = reader.GetString();
        foreach (var value in Enum.GetValues<T>())
        {
            if (word(value) == text)
                return value;
        }

        throw new JsonException($"One of {string.Join(", ", Words)} is wanted.");
    }

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) => writer.WriteStringValue(word(value));
}

/// <summary>What knows the words that it writes.</summary>
public interface IWords
{
    /// <summary>The words, in the set's order.</summary>
    IReadOnlyList<string> Words { get; }
}

/// <summary>Words of <see cref="Level"/>.</summary>
public sealed class LevelConverter() : WordConverter<Level>(LevelWords.Word);

/// <summary>Words of <see cref="RuleName"/>.</summary>
public sealed class RuleConverter() : WordConverter<RuleName>(RuleNames.Word);

/// <summary>Words of <see cref="Cover"/>.</summary>
public sealed class CoverConverter() : WordConverter<Cover>(CoverWords.Word);

/// <summary>Words of <see cref="Quantity"/>.</summary>
public sealed class QuantityConverter() : WordConverter<Quantity>(Quantities.Word);

/// <summary>Words of <see cref="StageSource"/>.</summary>
public sealed class StageSourceConverter() : WordConverter<StageSource>(StageSourceWords.Word);

/// <summary>Words of <see cref="BudState"/>.</summary>
public sealed class BudStateConverter() : WordConverter<BudState>(BudStateWords.Word);

/// <summary>Words of <see cref="SymptomStage"/>.</summary>
public sealed class SymptomConverter() : WordConverter<SymptomStage>(SymptomWords.Word);

/// <summary>Words of <see cref="DueTask"/>.</summary>
public sealed class DueTaskConverter() : WordConverter<DueTask>(DueTaskWords.Word);

/// <summary>Words of <see cref="Urgency"/>.</summary>
public sealed class UrgencyConverter() : WordConverter<Urgency>(UrgencyWords.Word);

/// <summary>Words of <see cref="WetnessState"/>.</summary>
public sealed class WetnessStateConverter() : WordConverter<WetnessState>(WetnessStateWords.Word);

/// <summary>Words of <see cref="Sureness"/>.</summary>
public sealed class SurenessConverter() : WordConverter<Sureness>(SurenessWords.Word);

/// <summary>Words of a set whose names in the code are its words.</summary>
/// <typeparam name="T">The set.</typeparam>
public sealed class NameConverter<T>() : WordConverter<T>(value => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString()))
    where T : struct, Enum;
