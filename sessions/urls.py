from django.urls import URLPattern, path

from sessions.views import goals, review, review_acts, review_limits, word_templates, words
from sessions.views.ability import ability
from sessions.views.block_done import block_done
from sessions.views.client import client
from sessions.views.decisions import decisions
from sessions.views.deload import apply_deload, deload, undo_deload
from sessions.views.floor import floor, today_in_column, unplanned_in_column
from sessions.views.my_log import my_log, my_log_exercise
from sessions.views.next_block import next_block
from sessions.views.sync import sync
from sessions.views.today import exercises, today, unplanned
from sessions.views.worker import offline, webmanifest, worker

app_name = "sessions"

urlpatterns: list[URLPattern] = [
    # Phone: the client's own
    path("today/", today, name="today"),
    path("today/unplanned/", unplanned, name="unplanned"),
    path("today/exercises/", exercises, name="today-exercises"),
    path("today/worker.js", worker, name="today-worker"),
    path("today/app.webmanifest", webmanifest, name="today-manifest"),
    path("today/offline/", offline, name="today-offline"),
    path("my-log/", my_log, name="my-log"),
    path("my-log/exercises/<int:exercise_id>/", my_log_exercise, name="my-log-exercise"),
    path("my-log/words/", words.words, name="words"),
    path("my-log/words/seen/", words.words_seen, name="words-seen"),
    path("sync/", sync, name="sync"),
    # Phone: the coach for a client
    path("clients/<int:client_id>/today/", today_in_column, name="today-for"),
    path("clients/<int:client_id>/today/unplanned/", unplanned_in_column, name="unplanned-for"),
    path("clients/<int:client_id>/today/exercises/", exercises, name="today-exercises-for"),
    path("clients/<int:client_id>/log/", my_log, name="log-of"),
    path(
        "clients/<int:client_id>/log/exercises/<int:exercise_id>/",
        my_log_exercise,
        name="log-of-exercise",
    ),
    path("clients/<int:client_id>/sync/", sync, name="sync-for"),
    # A block beside its log
    path("blocks/<int:block_id>/done/", block_done, name="block-done"),
    # Words between coach and client
    path("clients/<int:client_id>/words/", words.words, name="words-with"),
    path("clients/<int:client_id>/words/read/", words.words_read, name="words-read"),
    path("clients/<int:client_id>/words/send/", words.send_word, name="send-word"),
    path("clients/<int:client_id>/words/private/", words.add_private_note, name="add-private-note"),
    path("words/templates/", word_templates.word_templates, name="word-templates"),
    path("words/templates/add/", word_templates.add_word_template, name="add-word-template"),
    path(
        "words/templates/<uuid:uid>/change/",
        word_templates.change_word_template,
        name="change-word-template",
    ),
    path(
        "words/templates/<uuid:uid>/remove/",
        word_templates.remove_word_template,
        name="remove-word-template",
    ),
    path(
        "words/templates/<uuid:uid>/move/",
        word_templates.move_word_template,
        name="move-word-template",
    ),
    path("words/<uuid:uid>/take-back/", words.take_back_word, name="take-back-word"),
    path(
        "words/private/<int:note_id>/take-back/",
        words.take_back_private_note,
        name="take-back-private-note",
    ),
    # The floor: several clients at once
    path("floor/", floor, name="floor"),
    # Review: the coach's week
    path("review/", review.review, name="review"),
    path("review/next-targets/", review.next_targets, name="next-targets"),
    path("review/next-targets/accept/", review_acts.accept_next_targets, name="accept-routine"),
    path("review/undo/", review_acts.undo_decisions, name="undo-decisions"),
    path("review/<int:client_id>/", review.review_client, name="review-client"),
    path("review/<int:client_id>/accept/", review_acts.accept_targets, name="accept-targets"),
    path("review/<int:client_id>/ask/", review_acts.ask_client, name="ask-client"),
    path("review/<int:client_id>/hold/", review_acts.hold_week, name="hold-week"),
    path("review/<int:client_id>/leave/", review_acts.leave_week, name="leave-week"),
    path("review/<int:client_id>/close/", review_acts.close_week, name="close-week"),
    path("review/<int:client_id>/reopen/", review_acts.reopen_week, name="reopen-week"),
    path(
        "review/blocks/<int:block_id>/exercises/<int:exercise_id>/replace/",
        review_limits.replace_planned,
        name="replace-planned",
    ),
    path(
        "review/blocks/<int:block_id>/exercises/<int:exercise_id>/keep/",
        review_limits.keep_planned,
        name="keep-planned",
    ),
    # Deload: the light week beside the usual one
    path("clients/<int:client_id>/deload/", deload, name="deload"),
    path("clients/<int:client_id>/deload/apply/", apply_deload, name="apply-deload"),
    path("clients/<int:client_id>/deload/undo/", undo_deload, name="undo-deload"),
    # The block after the last one
    path("clients/<int:client_id>/blocks/next/", next_block, name="next-block"),
    # Movement goals of a client
    path("clients/<int:client_id>/goals/", goals.set_a_goal, name="set-goal"),
    path("clients/<int:client_id>/goals/put-back/", goals.put_back_goal, name="put-back-goal"),
    path("goals/<int:goal_id>/change/", goals.change_a_goal, name="change-goal"),
    path("goals/<int:goal_id>/drop/", goals.drop_a_goal, name="drop-goal"),
    path("goals/<int:goal_id>/reached/", goals.goal_reached, name="goal-reached"),
    path("goals/<int:goal_id>/reopen/", goals.reopen_a_goal, name="reopen-goal"),
    # Client: how is this person doing
    path("clients/<int:client_id>/decisions/", decisions, name="decisions"),
    path("clients/<int:client_id>/ability/", ability, name="ability"),
    path("clients/<int:client_id>/", client, name="client"),
]
