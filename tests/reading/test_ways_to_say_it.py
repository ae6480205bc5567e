"""The ways to say a score, one by one: what must be read, asked about, or left alone."""

from __future__ import annotations

import pytest

from bot.reading.reader import Scene
from bot.reading.values import reading_to_json
from content.score import RoundsAndReps
from tests.reading.corpus_check import DATES, challenge

BEFORE = RoundsAndReps(3, 45, 225)


def read(where, text):
    name, _, day = where.partition(" ")
    content, reader = challenge(name)
    days = dict(enumerate(content.days, start=1))
    division = content.head.divisions[0].id
    scene = Scene(int(day), days, division, dates=DATES, previous=BEFORE)
    return reading_to_json(reader.read(text, scene))


def rounds(rounds_, reps, total):
    return {"rounds": rounds_, "reps": reps, "total_reps": total}


def capped(total):
    return {"capped": True, "total_reps": total}


# On demo day 1 a round has 60: 8 push-ups, 20 lunges, 12 rows, 18 goblet squats, 2 burpees.
READ = [
    *[
        ("demo 1", text, rounds(3, 45, 225))
        for text in (
            *("3+45", "3 + 45", "3r45", "3 rds 45", "three rounds plus forty-five"),
            *("3️⃣➕4️⃣5️⃣", "３＋４５", "225 reps", "total 225"),
            *("3 Runden + 45", "3 rondas y 45", "3 tours et 45", "3 voltas e 45"),
            *("drei Runden fünfundvierzig", "tres rondas y cuarenta y cinco"),
            *("trois tours plus quarante-cinq", "três voltas e quarenta e cinco"),
            *("3 rounds y 45 repeticiones", "3 rounds und 45 Wiederholungen"),
        )
    ],
    ("demo 1", "3 full rounds", rounds(3, 0, 180)),
    ("demo 1", "3 rounds flat", rounds(3, 0, 180)),
    ("demo 1", "3 rounds and a half", rounds(3, 30, 210)),
    ("demo 1", "one rep short of 4 rounds", rounds(3, 59, 239)),
    ("demo 1", "5 reps into round 4", rounds(3, 5, 185)),
    ("demo 1", "3 rounds + 8 push-ups and 5 lunges", rounds(3, 13, 193)),
    ("demo 1", "got 12 lunges into round 2", rounds(1, 20, 80)),
    ("demo 1", "made it to the rows in round two, did 7", rounds(1, 35, 95)),
    ("demo 1", "finished the squats in round 3", rounds(2, 58, 178)),
    ("demo 1", "halfway through the second round's lunges", rounds(1, 18, 78)),
    ("demo 7", "finished the round of 14", rounds(7, 0, 168)),
    ("demo 7", "12s + 9", rounds(6, 9, 135)),
    ("demo 7", "done through 10, 4 into the 12s", rounds(5, 4, 94)),
    *[
        ("demo 2", text, {"time_s": 574})
        for text in ("9:34", "9m34", "9 min 34 sec", "9'34\"", "nine thirty-four", "9 Min. 34")
    ],
    ("demo 2", "sub 10: 9:58", {"time_s": 598}),
    ("mill 5", "1:02:03", {"time_s": 3723}),
    ("mill 5", "1h02", {"time_s": 3720}),
    ("demo 2", "capped, 14 reps left", capped(130)),
    ("demo 2", "cap, 76 reps", capped(76)),
    ("demo 2", "didn't finish, made it to the 10s", capped(114)),
    ("mill 7", "ran out of time on the second set of 15, 9 done", capped(105)),
    ("demo 3", "6 rounds: 12 11 11 10 9 9", {"amount": 9, "unit": "reps", "total_reps": 62}),
    ("mill 3", "5x82.5 kg", {"amount": 82.5, "unit": "kg"}),
    ("mill 3", "180 lb", {"amount": 81.647, "unit": "kg"}),
    ("mill 4", "41 burpees", {"amount": 41, "unit": "reps"}),
    ("demo 5", "2:05 hold", {"amount": 125, "unit": "s"}),
    ("demo 6", "2.1k", {"amount": 2100, "unit": "m"}),
    ("demo 6", "2,1 km", {"amount": 2100, "unit": "m"}),
    ("demo 6", "1.3 miles", {"amount": 2092, "unit": "m"}),
    ("mill 6", "done", {"done": True}),
    ("mill 6", "did it", {"done": True}),
    ("mill 6", "erledigt", {"done": True}),
]


@pytest.mark.parametrize(("where", "text", "result"), READ, ids=[row[1] for row in READ])
def test_it_is_read(where, text, result):
    found = read(where, text)

    assert found["kind"] == "score", found
    assert found["result"] == result


ABOUT = [
    ("demo 1", "lighter 3+45", {"division": "lighter"}),
    ("demo 1", "scaled 3+45", {"division": "lighter"}),
    ("demo 1", "3+45, versión ligera", {"division": "lighter"}),
    ("demo 1", "3+45 in der leichten Version", {"division": "lighter"}),
    ("demo 1", "Rx 3+45", {"division": "full"}),
    ("demo 1", "bodyweight version 3+45", {"division": "bodyweight"}),
    ("demo 2", "yesterday 3+45", {"day": {"offset": -1}}),
    ("demo 2", "day 1: 3+45", {"day": {"number": 1}}),
    ("demo 3", "Tuesday's 9:41", {"day": {"number": 2}}),
    ("demo 1", "make that 3+54", {"correction": True}),
    ("demo 1", "sorry, 54 not 45", {"correction": True}),
    ("demo 1", "typo: 3+54", {"correction": True}),
    ("demo 1", "3+45 RPE 8", {"effort": 8}),
    ("demo 1", "3+45, 8/10 effort", {"effort": 8}),
    ("demo 1", "3+45 with 12 kg", {"load_kg": 12}),
]


@pytest.mark.parametrize(("where", "text", "about"), ABOUT, ids=[row[1] for row in ABOUT])
def test_what_stands_beside_it_is_kept(where, text, about):
    found = read(where, text)

    assert found["kind"] == "score", found
    assert about.items() <= found.items()


ASKED = [
    ("demo 1", "2 rounds + 400", "extra_reps_exceed_round"),
    ("demo 1", "855 reps", "too_fast"),
    ("demo 1", "2.3 rounds", "unsure"),
    ("demo 1", "45", "bare_number"),
    ("demo 1", "about 3 rounds", "unsure"),
    ("demo 1", "me 3+45, my sister 4+2", "two_scores"),
    ("demo 2", "9.34", "unsure"),
    ("demo 2", "CAP+14", "cap_both_ways"),
    ("demo 2", "DNF", "reps_at_the_cap"),
    ("demo 2", "12:34", "over_the_cap"),
    ("mill 1", "6 push-ups into round 3", "which_rung"),
    ("mill 3", "5x82.5", "which_unit"),
    ("mill 5", "31.20", "unsure"),
]


@pytest.mark.parametrize(("where", "text", "why"), ASKED, ids=[row[1] for row in ASKED])
def test_it_is_asked_about(where, text, why):
    found = read(where, text)

    assert (found["kind"], found.get("why")) == ("ask", why)


LEFT_ALONE = [
    ("demo 1", "fell 90 short of finishing the push ups in round 1"),
    ("demo 1", "3 rounds in and dying"),
    ("demo 1", "aiming for 4+"),
    ("demo 1", "aiming for 4 + 10"),
    ("demo 1", "4+10 from you is insane"),
    ("demo 1", "didn't do 3 rounds"),
    ("demo 1", "> 3 rounds + 45"),
    ("demo 1", "see you at 6:30, bringing my 2 kids"),
    ("demo 2", "my number is 0171 5551234"),
    ("demo 2", "at 9:30 in the park"),
    ("demo 5", "I am 67 years old"),
    ("mill 3", "a 16 kg kettlebell for 30 euros"),
    ("demo 1", "last year 3 rounds + 45"),
    ("demo 1", "if I get 4 rounds I buy cake"),
    ("demo 1", "you killed me"),
]


@pytest.mark.parametrize(("where", "text"), LEFT_ALONE, ids=[row[1] for row in LEFT_ALONE])
def test_it_is_left_alone(where, text):
    assert read(where, text)["kind"] == "chatter"


WHOSE = [
    ("Marta 4 + 10", "chatter"),
    ("marta: 4 + 10", "chatter"),
    ("Marta - 4 + 10", "chatter"),
    ("Marta's 4 + 10", "chatter"),
    ("Marta got 4 + 10", "chatter"),
    ("my wife - 4 + 10", "chatter"),
    ("Zora 4 + 10", "ask"),  # nobody of that name takes part
    ("me 3 + 45, Marta 4 + 10", "ask"),
    ("3 + 45, thanks Marta", "score"),
    ("thanks Marta, 3 + 45", "score"),
    ("3 + 45 with Marta", "score"),
    ("just ahead of Marta, 3 rounds + 45", "score"),
    ("Marta and I both got 3 + 45", "score"),
]


@pytest.mark.parametrize(("text", "kind"), WHOSE)
def test_a_name_in_front_tells_whose_score_it_is(text: str, kind: str):
    content, reader = challenge("demo")
    days = dict(enumerate(content.days, start=1))
    division = content.head.divisions[0].id
    scene = Scene(1, days, division, people=frozenset({"marta"}))

    assert reading_to_json(reader.read(text, scene))["kind"] == kind


# Read on the second day; -1: recorded for yesterday.
WHICH_DAY = [
    ("3 rounds + 45, yesterday", -1),
    ("yesterday, 3 rounds + 45", -1),
    ("3 rounds + 45, did it yesterday", -1),
    ("3 rounds + 45! Yesterday was harder", None),
    ("3 rounds + 45, still sore from yesterday", None),
    ("3 rounds + 45, better than yesterday", None),
    ("missed yesterday, 3 rounds + 45 today", None),
    ("yesterday was hard, today 3 rounds + 45", None),
    ("3 Runden + 45, besser als gestern", None),
    ("3 tours + 45, mieux qu'hier", None),
]


@pytest.mark.parametrize(("text", "offset"), WHICH_DAY)
def test_a_day_in_passing_moves_no_score(text: str, offset: int | None):
    content, reader = challenge("demo")
    days = {1: content.days[0], 2: content.days[0]}
    scene = Scene(2, days, content.head.divisions[0].id, dates=DATES)

    found = reading_to_json(reader.read(text, scene))

    assert (found["kind"], found.get("result")) == ("score", rounds(3, 45, 225))
    assert found.get("day", {}).get("offset") == offset


def test_numbered_rounds_may_follow_other_words():
    found = read(
        "demo 3", "Phew. Round 1 30, round 2 29, round 3 29, round 4 27, round 5 28, round 6 28"
    )

    assert (found["kind"], found["result"]["amount"]) == ("score", 27)


def test_what_is_sure_stands_beside_what_is_asked():
    found = read("demo 2", "yesterday 3 rounds + 99, today 9:41")

    assert (found["kind"], found["why"]) == ("ask", "extra_reps_exceed_round")
    assert [each["result"] for each in found["also"]] == [{"time_s": 581}]


@pytest.mark.parametrize(
    ("text", "is_wish"),
    [
        ("please remove my score", True),
        ("can you remove my score?", True),
        ("don't count my score", True),
        ("take my score out, I did not finish", True),
        ("take my score down please", True),
        ("can someone please delete my score?", True),
        ("I'd like my score removed", True),
        ("bitte lösch mein Ergebnis", True),
        ("kannst du mein Ergebnis löschen?", True),
        ("¿puedes borrar mi resultado?", True),
        ("apaga o meu resultado de ontem", True),
        ("enlève mon score d'hier", True),
        ("is it possible to delete my score?", True),
        ("ne compte pas mon score", True),
        ("please don't remove my score", False),
        ("I'd never delete my score", False),
        ("how do I remove my score?", False),
        ("should I delete my score?", False),
        ("why did you remove my score", False),
        ("lösch mein Ergebnis nicht", False),
        ("he removed my score", False),
        ("never remove my score", False),
        ("I removed my shoes", False),
        ("they want to delete my score", False),
        ("il a enlevé mon score", False),
        ("él borró mi resultado", False),
        ("apaguei as fotos do resultado", False),
        ("nunca apague meu resultado", False),
        ("delete his score", False),
        ("how can you remove my score like that?", False),
    ],
)
def test_words_about_taking_out_are_no_wish(text: str, is_wish: bool):
    assert (read("demo 1", text)["kind"] == "take_back") is is_wish
