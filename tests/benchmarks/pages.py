"""Time of each main page against the bare request floor of the same run.

.venv/bin/python -m tests.benchmarks.pages
"""

from tests.benchmarks.practice import milliseconds, open_practice


def main() -> None:
    """Print one line a page: milliseconds, ratio to the floor, queries, kilobytes."""
    open_practice()
    from django.db import connection  # noqa: PLC0415 - after the practice is opened
    from django.test import Client as Browser  # noqa: PLC0415
    from django.test.utils import CaptureQueriesContext  # noqa: PLC0415
    from django.urls import reverse  # noqa: PLC0415

    from clients.models import Client, User  # noqa: PLC0415
    from coaching.blocks.models import Block  # noqa: PLC0415

    maren = Client.objects.get(name="Maren Tolsvik")
    block = Block.objects.filter(client=maren).order_by("-number")[0]
    coach, phone = Browser(), Browser()
    coach.force_login(User.objects.get(email="tove@stonequay.example"))
    typing = Browser(HTTP_HX_REQUEST="true")
    typing.force_login(User.objects.get(email="tove@stonequay.example"))
    beside = Client.objects.get(name="Tomas Velde")
    phone.force_login(maren.user)  # type: ignore[arg-type]
    pages = [
        ("floor: account page", coach, reverse("clients:account")),
        ("Review", coach, reverse("sessions:review")),
        ("Review, one client", coach, reverse("sessions:review-client", args=[maren.pk])),
        ("Roster", coach, reverse("blocks:roster")),
        ("Client", coach, reverse("sessions:client", args=[maren.pk])),
        ("Block", coach, reverse("blocks:block", args=[block.pk])),
        ("Deload", coach, reverse("sessions:deload", args=[maren.pk])),
        ("Exercises", coach, reverse("library:exercises")),
        ("Exercises, typed word", typing, reverse("library:exercises") + "?words=dip"),
        ("Exercises, two letters", typing, reverse("library:exercises") + "?words=pu"),
        (
            "Ladder, two clients",
            coach,
            reverse("library:ladder", args=["push-up"]) + f"?client={maren.pk}&beside={beside.pk}",
        ),
        ("Exercise, its load", coach, reverse("library:exercise", args=["push-up"])),
        ("Today", phone, reverse("sessions:today")),
        ("My log", phone, reverse("sessions:my-log")),
    ]
    floor = 0.0
    for name, browser, url in pages:
        with CaptureQueriesContext(connection) as queries:
            answer = browser.get(url)
        # Counted now: the next request clears the log.
        count = len(queries)
        if answer.status_code != 200:
            message = f"{name} answered {answer.status_code}."
            raise SystemExit(message)
        spent = milliseconds(lambda b=browser, u=url: b.get(u))  # type: ignore[misc]
        floor = floor or spent
        size = len(answer.content) / 1024
        print(  # noqa: T201
            f"{name:22} {spent:7.1f} ms  {spent / floor:5.1f} x floor  "
            f"{count:3} queries  {size:6.1f} kB"
        )


if __name__ == "__main__":
    main()
