"""Random pairs of station names, for the vectors of checking/places."""

from random import Random

WORDS = [
    *(
        "Station",
        "Relais",
        "Garage",
        "Pompe",
        "Coopérative",
        "du",
        "de la",
        "des",
        "le",
        "Lac",
        "Col",
        "Genêt",
        "Genets",
    ),
    *(
        "Chardon",
        "bleu",
        "Bruyères",
        "Myrtilles",
        "Ös-Straße",
        "ÎLE",
        "n°4",
        "№ 12",
        "A89",
        "(nord)",
        "l'Étang",
        "...",
        "",
    ),
    *("станция", "東口", "e_85", "Δέλτα", "  ", "x"),
]


def pair_of_names(random: Random) -> tuple[str, str]:
    """Return two names: the second is the first with words shuffled, added or misspelt, or an unrelated name."""
    one = [random.choice(WORDS) for _ in range(random.randint(0, 5))]
    other = list(one) if random.random() < 0.7 else [random.choice(WORDS) for _ in range(random.randint(0, 5))]
    random.shuffle(other)
    if other and random.random() < 0.5:
        other[random.randrange(len(other))] = random.choice(WORDS)
    if other and random.random() < 0.5:
        word = random.choice(other)
        other.append(word[: len(word) // 2] + word[len(word) // 2 + 1 :])
    joined = " ".join(other)
    return " ".join(one), joined.upper() if random.random() < 0.2 else joined
