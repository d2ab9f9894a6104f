"""What a grower does in a morning, told key by key: what is asked, what is refused, what the file says, how many keys."""

from datetime import date
from pathlib import Path

import pytest

from model.rules.verdict import Today
from tests.long import some
from tests.tui.hand import Hand, at_the_farm
from tui.commands import ROUND, TRAY

LOST, POT_UP_IN_TWO, SOWING_DAY, STRUCK_TICK, NEW_VARIETY = 6, 30, 8, 12, 45
"""Most keys for each, from the job's own budget."""
CORNER = "6"
"""The key of the corner among the places where a tray from the mat may go."""


async def on_the_round(hand: Hand, number: int) -> int:
    """Stand at a tray on the round; the newest act so far."""
    await hand.stand(ROUND, number)
    return hand.last_act


# What is due.


@pytest.mark.parametrize(
    ("number", "keys", "act"),
    [
        (63, " ", ("first up", 63, None)),
        (58, " 41⏎", ("half up", 58, 41)),
        (58, " ⏎", ("half up", 58, 36)),
        (50, " ", ("thinned", 50, None)),
        (12, " 2", ("root look", 12, None)),
        (22, " ⏎", ("moved", 22, None)),
        (27, " ", ("cut", 27, None)),
    ],
)
async def test_space_ticks_what_the_line_says_is_due(
    farm: Path, number: int, keys: str, act: tuple[object, ...]
) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, number)
        assert hand.line(number).due_now
        await hand.type(keys)
        assert hand.acts(since) == [act], hand.shown


async def test_hardening_begins_in_the_hardening_area_and_the_shelf_follows_the_mat(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 22)
        await hand.type(" ⏎58 40⏎")
        assert hand.line(22).place == "Hardening"
        assert hand.line(58).due_task == "off the mat"
        await hand.type(" ⏎")
        assert hand.line(58).place == "Shelf"


async def test_a_tray_to_be_potted_up_is_asked_for_its_containers(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("r2")
        assert hand.line(12).due_task == "pot up"
        await hand.type(" ")
        assert "Pot up how many of 12N Morrow?" in hand.shown
        await hand.type("65⏎8⏎")
        assert hand.acts(since)[1:] == [("potted up", 12, 65), ("looked at", 71, None)]
        assert 12 not in [line.number for line in hand.view.lines]


async def test_a_flat_that_was_cut_three_times_is_retired(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 17)
        await hand.type(" ")
        assert hand.said == "17V: cut not before 18 Apr."
        await hand.type("ccy")
        assert hand.line(17).due_task == "retire"
        await hand.type(" y")
        assert hand.acts(since) == [("cut", 17, None), ("cut", 17, None), ("retired", 17, 10)]


async def test_the_parts_of_a_flat_are_cut_one_after_the_other(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 27)
        await hand.type("  ")
        cut = hand.rows("SELECT sowing_id FROM act WHERE id > ?", since)
        assert len(set(cut)) == len(cut) == 2
        # The cilantro came up ten days after the others.
        await hand.type(" ")
        assert "cut not before" in hand.said
        assert len(hand.acts(since)) == 2


async def test_where_nothing_is_due_space_says_so_and_enters_nothing(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nsrue/Common⏎y⏎⏎⏎⏎⏎⏎⏎71")
        since = hand.last_act
        await hand.type(" ")
        assert hand.said == "71W: nothing is due."
        await hand.type("60 ")
        assert hand.said == "60Z: look for first up not before 16 Apr."
        assert hand.acts(since) == []


# One tray.


async def test_every_look_at_the_roots_has_its_key(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("r⏎")
        assert hand.refused == "Press one of the keys at the left, or Esc."
        await hand.type("0r1r2r3r4")
        assert hand.rows("SELECT score FROM act WHERE id > ?", since) == [(0,), (1,), (2,), (3,), (4,)]


async def test_a_tray_comes_up_once_and_then_by_half(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 62)
        await hand.type("ee")
        assert "half up is about half of the sown cells" in hand.shown
        await hand.type("73⏎")
        assert hand.refused == "73 can't be. Type a whole number from 1 to 72."
        assert hand.typed == "73"
        await hand.press("backspace", "enter", "e")
        assert hand.said == "Tray 62Q is up already. Nothing needs to be ticked."
        assert hand.acts(since) == [("first up", 62, None), ("half up", 62, 7)]


async def test_a_full_place_takes_a_tray_only_as_a_stack(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 46)
        await hand.type(f"m{CORNER}63m{CORNER}")
        since = hand.last_act
        await hand.type(f"62m{CORNER}")
        assert "Corner has no slot left. Stack it there all the same?" in hand.shown
        await hand.type("n")
        assert "Move 62Q to:" in hand.shown
        assert hand.acts(since) == []
        await hand.type(f"{CORNER}y")
        assert hand.acts(since) == [("moved", 62, None)]
        assert hand.line(62).place == "Corner"


async def test_plants_are_potted_up_into_two_sizes_and_the_weak_are_binned(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("p20⏎8⏎30⏎a⏎5⏎⏎")
        assert hand.keys <= POT_UP_IN_TWO
        print("keys to pot up in two sizes:", hand.keys)
        assert hand.acts(since) == [
            ("potted up", 12, 20),
            ("looked at", 71, None),
            ("potted up", 12, 30),
            ("looked at", 72, None),
            ("lost", 12, 5),
        ]
        assert [hand.line(number).plants for number in (12, 71, 72)] == [10, 20, 30]
        assert {hand.line(number).sown_on for number in (12, 71, 72)} == {date(2026, 2, 27)}
        assert [hand.line(number).container for number in (71, 72)] == ["9 cm pot", "10 cm pot"]


async def test_half_a_tray_is_set_out_and_the_rest_still_stands(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 23)
        await hand.type("o16⏎long bed⏎under fleece⏎")
        assert hand.acts(since) == [("against the gate", 23, None), ("set out", 23, 16)]
        assert hand.rows("SELECT text FROM act WHERE kind = 'set out' AND id > ?", since) == [("long bed",)]
        assert hand.line(23).plants == 16


async def test_a_loss_with_its_cause_takes_six_keys_at_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("x12⏎2")
        assert hand.keys <= LOST
        print("keys for a loss:", hand.keys)
        assert hand.rows("SELECT kind, count, cause FROM act WHERE id > ?", since) == [
            ("lost", 12, "damped off")
        ]
        assert hand.line(12).plants == 53


async def test_more_than_there_are_can_not_be_lost(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("x66⏎")
        assert hand.refused == "66 can't be. Type a whole number from 1 to 65."
        await hand.type("␛")
        assert hand.acts(since) == []


async def test_what_did_not_come_up_is_sown_again_with_a_day_of_its_own(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 46)
        await hand.type("R30⏎⏎⏎")
        assert hand.rows("SELECT cause FROM act WHERE id > ? AND kind = 'lost'", since) == [
            ("didn't come up",)
        ]
        assert hand.rows(
            "SELECT sown_on, cells FROM sowing JOIN tray ON tray.id = tray_id WHERE number = 46 ORDER BY part"
        ) == [("2026-03-30", 72), ("2026-04-14", 30)]


async def test_counted_empty_cells_can_be_sown_again_even_if_few_plants_are_left(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 58)
        await hand.type("k5⏎R67⏎⏎⏎")
        assert hand.said.startswith("resowed 67 of 58N"), hand.said
        assert hand.acts(since) == [("counted", 58, 5), ("lost", 58, 67), ("resown", 58, 67)]


async def test_a_tray_is_retired_only_after_a_yes(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 25)
        await hand.type("X⏎")
        assert (hand.said, hand.acts(since)) == ("Nothing was retired.", [])
        await hand.type("Xy")
        assert hand.acts(since) == [("retired", 25, 118)]
        assert 25 not in [line.number for line in hand.view.lines]


async def test_from_a_tray_that_is_all_gone_nothing_more_is_taken(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 25)
        await hand.type("o⏎⏎under fleece⏎")
        assert "gone since Tue 14 Apr" in hand.shown
        since = hand.last_act
        for key in "oxkXptc":
            await hand.type(key)
            assert hand.said == "Nothing is left in 25W. Take another tray, or undo what emptied it."
        await hand.type("w")
        assert "is gone since" in hand.said
        assert hand.acts(since) == []
        await hand.type("u")
        assert hand.line(25).plants == 118


# Putting the record right.


async def test_a_wrong_sowing_day_is_put_right_in_eight_keys(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 30)
        await hand.type("C112mar⏎")
        assert hand.keys <= SOWING_DAY
        print("keys for a wrong sowing day:", hand.keys)
        assert hand.line(30).sown_on == date(2026, 3, 12)
        assert hand.rows("SELECT field, old, new FROM act WHERE id > ?", since) == [
            ("sown_on", "2026-03-16", "2026-03-12")
        ]


async def test_an_older_wrong_tick_is_struck_in_twelve_keys_and_later_acts_stay(farm: Path) -> None:
    async with at_the_farm(farm, size=(80, 40)) as hand:
        since = await on_the_round(hand, 12)
        before = hand.rows("SELECT * FROM act ORDER BY id")
        await hand.type("C8s")
        assert hand.keys <= STRUCK_TICK
        print("keys for an older wrong tick:", hand.keys)
        assert hand.said.startswith("corrected 12N: root look of Sat 11 Apr struck")
        assert hand.rows("SELECT * FROM act WHERE id <= ? ORDER BY id", since) == before
        assert hand.acts(since) == [("corrected", 12, None)]
        await hand.press("enter")
        assert "(taken back)" in hand.shown


async def test_an_older_act_is_moved_to_its_true_day(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("C8d-4⏎")
        assert hand.rows("SELECT field, old, new FROM act WHERE id > ?", since) == [
            ("day", "2026-04-11", "2026-04-10")
        ]


async def test_a_day_that_can_not_be_is_refused_and_the_sentence_says_why(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 22)
        await hand.type("C131feb⏎")
        assert hand.refused.startswith("'31feb' is no day.")
        assert hand.typed == "31feb"
        await hand.press(*["backspace"] * 5)
        await hand.type("12mar⏎")
        assert hand.said.startswith("watered on Wed 11 Mar is before tray 22E was made")
        assert hand.acts(since) == []


# A whole place.


@pytest.mark.parametrize(
    ("key", "rest", "exceptions"),
    [("W", Today.WATERED, Today.LEFT), ("L", Today.LOOKED, Today.UNSEEN), ("D", Today.LEFT, Today.UNSEEN)],
)
async def test_a_whole_place_is_marked_but_for_exceptions(
    farm: Path, key: str, rest: Today, exceptions: Today
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"n{key}46T, 58n⏎")
        seen = {line.number: line.seen for line in hand.view.lines if line.place == "Mat"}
        assert {number for number, state in seen.items() if state is exceptions} == {46, 58}
        assert {number for number, state in seen.items() if state is rest} == set(seen) - {46, 58}
        assert hand.rows(
            "SELECT count(*) FROM entry WHERE words LIKE '%Mat%' AND id = (SELECT max(id) FROM entry)"
        ) == [(1,)]
        await hand.type("u")
        assert hand.view.unseen == 60


async def test_a_wrong_letter_is_refused_and_what_was_typed_stays(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("nW58 46R⏎")
        assert (
            hand.refused == "46 ends in T, not in R. Read the label again: one digit or the letter is wrong."
        )
        assert hand.typed == "58 46R"
        await hand.press("backspace")
        await hand.type("T⏎")
        assert ("left dry", 46, None) in hand.acts(since)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("22", "Tray 22E doesn't stand at Mat. Name trays of this place only: 62Q?"),
        ("999", "Tray 999X doesn't stand at Mat. Name trays of this place only."),
        ("x", "'x' is no tray number. Type the digits on the label, with or without the letter."),
    ],
)
async def test_a_number_of_no_tray_here_is_refused(farm: Path, typed: str, words: str) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type(f"nW{typed}⏎")
        assert (hand.refused, hand.typed) == (words, typed)
        await hand.type("␛")
        assert hand.acts(since) == []


async def test_the_feed_of_a_whole_place_has_its_words(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("nFfish, weak⏎")
        assert hand.rows("SELECT DISTINCT kind, text FROM act WHERE id > ?", since) == [("fed", "fish, weak")]


async def test_the_places_come_round_both_ways(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        walked = []
        for key in "⇢⇢⇢⇢⇢⇢⇠⇠bnn":
            await hand.type(key)
            walked.append(hand.place)
        there = ["Shelf", "Slats", "Frame", "Hardening", "Corner", "Mat"]
        assert walked == [*there, "Corner", "Hardening", "Frame", "Hardening", "Corner"]


async def test_bench_order_is_the_order_of_feet_and_keeps_the_cursor_on_its_tray(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 4)
        worst = hand.listed
        await hand.type("v")
        feet = [line.number for line in sorted(hand.view.lines, key=lambda line: line.bench_order)]
        assert hand.listed == [number for number in feet if hand.line(number).place == "Slats"]
        assert hand.under_hand == 4
        await hand.type("v")
        assert (hand.listed, hand.said) == (worst, "Trays stand worst first.")


# Sowing.


async def test_a_new_variety_of_a_known_crop_takes_forty_five_keys_at_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("stomato Amber Row⏎y⏎⏎⏎⏎⏎⏎⏎")
        assert hand.keys <= NEW_VARIETY
        print("keys for a new variety:", hand.keys)
        line = hand.line(71)
        assert (line.crop, line.variety, line.container, line.plants, line.place) == (
            "tomato",
            "Amber Row",
            "72-cell tray",
            72,
            "Mat",
        )
        assert hand.said.startswith("sowed 71W tomato Amber Row")


async def test_a_mixed_flat_is_sown_in_parts_and_repeated_whole(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("spale ivy + rook + cilantro Slow⏎yd12⏎⏎⏎⏎⏎3⏎⏎y")
        line = hand.line(71)
        assert (line.variety, line.container, line.plants) == ("Pale Ivy / Rook / Slow", "open flat", 36)
        await hand.type("spale ivy+rook+slow⏎⏎y")
        assert (hand.line(72).variety, hand.line(72).plants) == ("Pale Ivy / Rook / Slow", 36)


async def test_a_mixed_cell_tray_shares_its_cells(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("spale ivy + rook⏎⏎40⏎")
        assert hand.refused == "40 can't be. Type a whole number from 1 to 36."
        await hand.press("backspace", "backspace")
        await hand.type("⏎⏎⏎⏎⏎⏎⏎")
        assert hand.line(71).plants == 72


async def test_a_crop_of_ones_own_is_sown_and_nothing_is_claimed_about_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("srue/Common⏎y⏎⏎⏎⏎⏎⏎⏎")
        line = hand.line(71)
        assert (line.crop, line.variety, line.fill, line.due) == ("rue", "Common", None, ())


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("dandelion", "'dandelion' is no variety on record."),
        ("pale", "'pale' could be lettuce Pale Ivy, cauliflower Pale Dome. Type a little more."),
        ("tomato", "'tomato' could be tomato Brisk Nine, tomato Ostrel."),
        ("+", "Nothing was typed."),
        ("rook + dandelion", "'dandelion' is no variety on record."),
    ],
)
async def test_a_word_that_says_too_little_is_refused_and_stays(farm: Path, typed: str, words: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"s{typed}⏎")
        assert hand.refused.startswith(words), hand.refused
        assert hand.typed == typed


async def test_a_sowing_is_changed_before_it_is_entered(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("sbrisk⏎c5⏎2⏎-⏎2yesterday⏎80⏎")
        assert hand.rows(
            "SELECT cells, seeds_per_cell, lot_id, sown_on FROM sowing WHERE id = (SELECT max(id) FROM sowing)"
        ) == [(50, 2, None, "2026-04-13")]
        line = hand.line(80)
        assert (line.container, line.place, line.age_days) == ("50-cell tray", "Shelf", 1)


async def test_a_full_place_is_asked_about_before_a_sowing_is_entered(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("sbrisk⏎⏎s⏎⏎")
        since = hand.last_act
        await hand.type("s⏎⏎")
        assert "Mat has no slot left. Where does it go?" in hand.shown
        await hand.type("2")
        assert hand.acts(since) == [("sown", 73, 72)]
        assert hand.line(73).place == "Shelf"


# The farm.


async def test_who_is_on_goes_with_every_later_act(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 46)
        await hand.type("ynNora⏎w")
        assert "Nora" in hand.shown.splitlines()[0]
        assert hand.who(since) == {"Nora"}
        since = hand.last_act
        await hand.type("y2w")
        assert hand.who(since) == {"Jory"}
        await hand.type("uu")
        assert hand.said.startswith("There is nothing of Jory's today to take back.")


async def test_a_new_place_in_fahrenheit_is_kept_in_celsius(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎59f⏎77f⏎⏎")
        assert hand.rows("SELECT kind, slots, low_c, high_c, walk FROM place WHERE name = 'Hoop'") == [
            ("cold frame", 30, 15.0, 25.0, 7)
        ]


async def test_on_a_farm_in_fahrenheit_a_bare_number_is_fahrenheit(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("S32PnHoop⏎420⏎59⏎77⏎⏎")
        assert hand.rows("SELECT low_c, high_c FROM place WHERE name = 'Hoop'") == [(15.0, 25.0)]
        await hand.type("46")
        assert "°F" in hand.shown
        assert "°C" not in hand.shown


async def test_a_night_warmer_than_its_day_is_refused_before_everything_is_typed(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎20⏎15⏎")
        assert hand.refused.startswith("The night is warmer than the day.")
        await hand.type("␛")
        assert len(hand.view.places) == 6


@pytest.mark.parametrize("scale", ["°C", "°F"])
async def test_enter_all_through_a_place_leaves_it_as_it_was(farm: Path, scale: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Pnodd⏎32⏎16.4⏎21.6⏎⏎")
        if scale == "°F":
            await hand.type("S32")
        before = hand.rows("SELECT * FROM place ORDER BY id")
        for place in "1234567":
            await hand.type(f"P{place}⏎⏎⏎⏎⏎⏎")
            if hand.asks:
                await hand.type("␛")
        assert hand.rows("SELECT * FROM place ORDER BY id") == before


async def test_a_container_in_cubic_inches_is_kept_in_millilitres(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("K60-cell tray⏎160⏎2.6in3⏎2")
        ((cells, volume, bottom),) = hand.rows(
            "SELECT cells, volume_ml, bottom FROM container WHERE name = '60-cell tray'"
        )
        assert (cells, bottom) == (60, "solid")
        assert volume == pytest.approx(42.606, abs=0.001)


async def test_settings_are_there_on_the_next_morning(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("S52S61S41S1Hill End⏎S2Europe/Lisbon⏎")
    async with at_the_farm(farm) as hand:
        assert hand.app.theme == "trayround-light"
        assert "Hill End" in hand.shown
        await hand.type("nnn")
        feet = [line.number for line in sorted(hand.view.lines, key=lambda line: line.bench_order)]
        assert hand.listed == [number for number in feet if hand.line(number).place == "Slats"]
        await hand.press("enter")
        assert "in³" in hand.shown
        assert hand.rows("SELECT value FROM setting WHERE name = 'zone'") == [("Europe/Lisbon",)]


# Finding.


@pytest.mark.parametrize("number", some([1, 41, 62, 4, 12, 18, 22], 2))
async def test_a_number_is_found_from_every_screen(farm: Path, number: int) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(str(number))
        assert hand.under_hand == number
        assert (
            hand.said
            == f"{hand.line(number).label}  {hand.line(number).crop} {hand.line(number).variety}, {hand.place}"
        )
        await hand.type("␛" if hand.where != ROUND else "")
        await hand.type("⇣")
        await hand.type(str(number))
        assert (hand.where, hand.under_hand) == (ROUND, number)
        await hand.type("7⇣70⏎")
        await hand.type(str(number))
        assert (hand.where, hand.under_hand) == (TRAY, number)


async def test_another_key_ends_a_number(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n4")
        assert hand.under_hand == 4
        await hand.type("⇣6")
        assert hand.said == "6…"
        await hand.type("3")
        assert hand.under_hand == 63


@pytest.mark.parametrize("typed", ["99", "46F"])
async def test_after_a_number_that_was_misread_the_next_key_marks_no_tray(farm: Path, typed: str) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type(typed + "w")
        assert hand.acts(since) == []
        await hand.type("58w")
        assert hand.acts(since) == [("watered", 58, None)]


async def test_the_letter_on_the_label_is_checked_where_it_is_typed(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46R")
        assert "46 ends in T, not in R." in hand.shown
        assert "46T or 47R?" in hand.shown
        await hand.type("␛46T")
        assert hand.said == "46T it is."
        await hand.type("W⏎")
        assert hand.said.startswith("watered Mat, 10 trays")
        await hand.type("uWnone⏎")
        assert hand.said.startswith("watered Mat, 10 trays")


async def test_from_a_tray_opened_on_the_round_i_leads_to_what_needs_me_first(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 46)
        await hand.type("i")
        assert hand.where == "first"
        await hand.type("⏎i")
        assert hand.where == "first"


async def test_what_came_up_while_nobody_looked_is_given_its_own_day(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "farm.db", make=True) as hand:
        await hand.type("P⏎Bench⏎3⏎⏎⏎⏎stomato Ostrel⏎y⏎⏎⏎⏎⏎-16⏎⏎n")
        await hand.type("e-17⏎")
        assert hand.refused.startswith("Sat 28 Mar can't be. It was sown Sun 29 Mar")
        await hand.press(*["backspace"] * 3)
        await hand.type("-9⏎")
        assert hand.said.startswith("first up: 1R tomato Ostrel, since 5 Apr.")
        assert hand.line(1).seen is Today.LOOKED
        await hand.type("e40⏎-6⏎")
        found = hand.rows("SELECT kind, day, count FROM act WHERE kind LIKE '%up' ORDER BY id")
        assert found == [("first up", "2026-04-05", None), ("half up", "2026-04-08", 40)]


async def test_a_tray_that_is_gone_is_opened_by_its_number(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 25)
        await hand.type("Xy25")
        assert hand.said == "No tray 25 stands. Enter opens one that is gone."
        await hand.press("enter")
        assert hand.where == TRAY
        assert "gone since Tue 14 Apr" in hand.shown
        await hand.type("␛9999⏎")
        assert hand.said == "No tray 9999V was ever on record. Read the label again."


async def test_a_count_and_a_look_are_corrected_singly(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        await hand.type("k60⏎r2C")
        assert "counted 60" in hand.shown
        since = hand.last_act
        await hand.type("6c62⏎C5r3")
        found = hand.rows("SELECT field, old, new FROM act WHERE id > ? ORDER BY id", since)
        assert found == [("count", "60", "62"), ("score", "2", "3")]
        assert hand.line(12).plants == 62


async def test_older_entries_are_a_page_further_on(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        await hand.type("C")
        assert "older entries" in hand.shown
        first = hand.shown
        await hand.type("o")
        assert hand.asks
        assert hand.shown != first
        since = hand.last_act
        await hand.type("1s")
        assert hand.rows("SELECT field FROM act WHERE id > ?", since) == [("struck",)]


async def test_what_another_window_enters_is_seen(farm: Path) -> None:
    async with at_the_farm(farm) as here, at_the_farm(farm) as there:
        await here.type("n46")
        await there.type("n46w⇡")
        await here.app._news()
        assert here.line(46).seen is Today.WATERED
        await there.type("58w")
        await here.type("nb60w")
        assert here.line(58).seen is Today.WATERED
