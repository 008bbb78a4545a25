"""What tests of the review send and read."""

from django.urls import reverse

PART = {"HX-Request": "true"}
TEMPLATE = "beginner-full-body"


def at(name, week, *args):
    return f"{reverse(f'sessions:{name}', args=args)}?week={week.isoformat()}"


def sent_targets(panel, **changed):
    """The form as the page shows it, with some fields changed."""
    data = {"week": panel.week.starts_on.isoformat(), "take": [row.key for row in panel.rows]}
    for row in panel.rows:
        data[f"targets-{row.key}"], data[f"rung-{row.key}"] = row.targets, row.rung
        data[f"planned-{row.key}"] = row.before
        if row.has_load:
            data[f"load-{row.key}"] = row.load
    return data | changed


def panel_of(coach, client, week):
    return coach.get(at("review-client", week, client.pk)).context["panel"]


def messages_of(answer):
    return " ".join(str(m) for m in answer.context["messages"])
