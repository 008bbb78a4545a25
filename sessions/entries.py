"""The shape of what a phone sends: each entry with its own id and revision."""

from django import forms


class EntryForm(forms.Form):
    """What every entry of a phone carries: its own id and its revision."""

    uid = forms.UUIDField()
    revision = forms.IntegerField(min_value=1, max_value=10_000)

    def label_of(self, field: str) -> str:
        """The name of a field as the client knows it."""
        bound = self.fields.get(field)
        return str((bound and bound.label) or field.replace("_", " ").capitalize())


class _InSession(EntryForm):
    session = forms.UUIDField()
    planned_session = forms.UUIDField(required=False)
    done_at = forms.DateTimeField(
        label="Time", input_formats=["%Y-%m-%dT%H:%M:%S.%f%z", "%Y-%m-%dT%H:%M:%S%z"]
    )


class SetEntry(_InSession):
    """One set, or a newer revision of it."""

    exercise = forms.IntegerField()
    prescription = forms.UUIDField(required=False)
    number = forms.IntegerField(label="Set", min_value=1, max_value=50)
    amount = forms.IntegerField(label="Reps or seconds", min_value=0, max_value=3600)
    load = forms.DecimalField(
        label="Load", required=False, min_value=0, max_value=1000, max_digits=6, decimal_places=2
    )
    target = forms.IntegerField(required=False, min_value=0, max_value=3600)
    target_load = forms.DecimalField(
        required=False, min_value=0, max_value=1000, max_digits=6, decimal_places=2
    )
    rir = forms.IntegerField(label="Reps in reserve", required=False, min_value=0, max_value=10)
    pain = forms.IntegerField(label="Pain", required=False, min_value=0, max_value=10)
    pain_where = forms.CharField(required=False, max_length=60)
    note = forms.CharField(required=False, max_length=500)
    warm_up = forms.BooleanField(required=False)
    removed = forms.BooleanField(required=False)


class SessionEntry(_InSession):
    """What is said of a whole session."""

    rpe = forms.DecimalField(
        label="Effort", required=False, min_value=0, max_value=10, max_digits=3, decimal_places=1
    )
    note = forms.CharField(required=False, max_length=2000)
    finished_at = forms.DateTimeField(
        required=False, input_formats=["%Y-%m-%dT%H:%M:%S.%f%z", "%Y-%m-%dT%H:%M:%S%z"]
    )
    skipped_reason = forms.CharField(required=False, max_length=200)


class BodyWeightEntry(EntryForm):
    """Body weight on a day."""

    on = forms.DateField(label="Day", input_formats=["%Y-%m-%d"])
    kg = forms.DecimalField(
        label="Body weight", min_value=25, max_value=300, max_digits=5, decimal_places=2
    )
