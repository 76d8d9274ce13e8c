"""Reports of any length: nothing is lost between pages, and every format says the same."""

from __future__ import annotations

from datetime import timedelta

from helpers.summaries import PLAIN, outing
from slopebeat.model.people import Athlete
from slopebeat.report.months.stories import months_story
from slopebeat.report.report import rough_width
from slopebeat.report.shapes import Scene, Text
from slopebeat.report.sheet import A4_PT, MARGIN_PT
from slopebeat.report.story import Section, Story, story_html, story_pages, story_text
from slopebeat.report.tables import ReportColumn, Table
from slopebeat.review.months.months import review_months

ROWS = tuple((f"week {number}", str(7 * number)) for number in range(150))
TABLE = Table("All weeks", (ReportColumn("Week", False), ReportColumn("Minutes")), ROWS, "Read from the top.")
LEFT = tuple(f"Outing {number}: too short" for number in range(80))
STORY = Story(
    "Weeks of nobody",
    "150 weeks",
    (Section("First", ("Once.",)), TABLE, Section("Left out", LEFT)),
    ("Take care.",),
)


def texts(page: Scene) -> list[Text]:
    return [shape for shape in page.shapes if isinstance(shape, Text)]


def test_rows_and_sentences_go_on_from_page_to_page_and_none_is_lost_or_said_twice() -> None:
    pages = story_pages(STORY, rough_width)
    assert len(pages) > 2
    said = [each.text for page in pages for each in texts(page)]
    assert [each for each in said if each.startswith("week ")] == [name for name, _ in ROWS]
    assert [each for each in said if each.startswith("Outing ")] == list(LEFT)
    assert said.count("Read from the top.") == said.count("Take care.") == said.count("Left out") == 1
    assert [each for each in said if each.startswith("Page ")] == [
        f"Page {n} of {len(pages)}" for n in range(1, len(pages) + 1)
    ]
    # Headers stand over the rows of every page that has some.
    with_rows = sum(any(each.text.startswith("week ") for each in texts(page)) for page in pages)
    assert said.count("Week") == said.count("All weeks") == with_rows


def test_nothing_stands_in_a_margin_but_the_number_of_the_page() -> None:
    for page in story_pages(STORY, rough_width):
        assert (page.width, page.height) == A4_PT
        inside = [each for each in texts(page) if not each.text.startswith("Page ")]
        assert all(MARGIN_PT <= each.y <= A4_PT[1] - MARGIN_PT for each in inside)


def test_a_heading_never_stands_alone_at_the_foot_of_a_page() -> None:
    for page in story_pages(STORY, rough_width):
        lowest = max((each for each in texts(page) if not each.text.startswith("Page ")), key=lambda t: t.y)
        assert not lowest.bold


def test_every_format_holds_the_same_words() -> None:
    plain, page = story_text(STORY), story_html(STORY)
    for words in (STORY.title, STORY.facts, *LEFT, *(name for name, _ in ROWS), "Take care."):
        assert words in plain
        assert words in page


def test_the_parts_of_a_day_are_one_outing() -> None:
    later = PLAIN.start_utc + timedelta(hours=3)
    months = review_months([outing(day="a day"), outing(day="a day", start_utc=later)])
    assert months_story(Athlete("", "Hut warden"), months).facts.startswith("1 outing in 1 week")
