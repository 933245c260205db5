"""Random readings at a source, for the vectors."""

from random import Random

from splitline.statistics.visits import Visit


def weights(random: Random) -> dict[str, float]:
    """The weight of each of five people; mostly all equal."""
    return {who: random.choice([1.0, 1.0, 1.0, 0.5, 0.25, 0.02]) for who in "abcde"}


def visits(random: Random) -> list[Visit]:
    """Return readings at one source over some months by one to five people, now and then a gross error."""
    level, scatter, people = random.uniform(60, 85), random.choice([0.3, 1.0, 3.0]), random.choice(["abc", "aaabbcde"])
    found, counted = [], weights(random)
    for _ in range(random.randint(1, 25)):
        day = 20000 + random.uniform(0, 400)
        gross = random.choice([-15.0, 20.0]) if random.random() < 0.03 else 0.0
        content = random.gauss(level, scatter) + random.gauss(0, 0.9) + gross
        who = random.choice(people)
        found.append(Visit(day, content, random.uniform(0.5, 1.5), 0.4, who, weight=counted[who]))
        if random.random() < 0.2:
            found.append(Visit(day + 0.01, content + 0.5, 0.9, 0.4, who, weight=counted[who]))
    return found
