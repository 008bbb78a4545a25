"""Forms, messages and the small charts come out of one set of templates, whatever page uses them."""

import re
from types import SimpleNamespace

from django import forms
from django.template.loader import render_to_string


class SampleForm(forms.Form):
    name = forms.CharField(help_text="As you call them in the gym.")
    note = forms.CharField(required=False)


def side(**changes):
    values = {"label": "chest", "value_text": "14", "bar": 64.5, "low_x": 46, "high_x": 91}
    return SimpleNamespace(**(values | {"outside": False, "usual": "10–20"} | changes))


def volume_chart(**changes):
    values = {
        "id": "week-2",
        "title": "Week 2",
        "rows": [],
        "centre": [],
        "balance": "",
        "note": "",
    }
    return SimpleNamespace(**(values | changes))


def test_an_error_and_a_help_text_are_read_out_with_their_field():
    page = str(SampleForm({"name": ""}))

    described_by = re.search(r'<input[^>]*name="name"[^>]*aria-describedby="([^"]+)"', page)

    assert described_by is not None
    assert described_by.group(1).split() == ["id_name_helptext", "id_name_error"]
    assert all(f'id="{part}"' in page for part in described_by.group(1).split())


def test_only_a_field_that_may_stay_empty_says_so():
    page = str(SampleForm())

    labels = re.findall(r"<label[^>]*>(.*?)</label>", page, flags=re.DOTALL)

    assert ["optional" in label for label in labels] == [False, True]


def test_a_message_in_a_part_joins_those_that_stand_on_the_page():
    context = {"messages": ["The light week is set."], "out_of_band": True}

    part = render_to_string("_shared/_messages.html", context)

    assert 'hx-swap-oob="beforeend:#messages"' in part
    assert "The light week is set." in part


def test_a_volume_bar_has_the_length_and_the_range_it_was_given():
    chart = volume_chart(rows=[SimpleNamespace(left=side(), right=None)])

    drawing = render_to_string("_shared/_spine_volume.html", {"chart": chart})

    assert 'width="64.5%"' in drawing
    assert 'x1="46%" x2="91%"' in drawing.replace("\n", " ")
    assert "is-right" not in drawing


def test_a_muscle_outside_its_range_is_told_by_more_than_colour():
    low = side(label="biceps", value_text="7", outside=True)
    chart = volume_chart(rows=[SimpleNamespace(left=None, right=low)])

    drawing = render_to_string("_shared/_spine_volume.html", {"chart": chart})

    assert "is-outside" in drawing
    assert re.search(r"usual\s*</span>\s*10–20", drawing)


def test_the_page_for_a_broken_server_needs_nothing_from_the_server():
    page = render_to_string("500.html")

    assert "Something broke on our side" in page
    assert "<script" not in page
