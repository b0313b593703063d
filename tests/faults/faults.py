"""
The faults that Two Turns is held against, and where each one is made to happen.

``sim`` names what the nemesis of the simulation does (``tests/faults/sim``), ``browser`` and
``server`` name tests: ``test_file.py::`` and how the test's name begins, below
``tests/faults/browser`` and ``tests/faults/server``, or a path from the root for a test elsewhere.
``beyond`` says what cannot be made to happen here, and why; ``told`` what no second copy can save:
that is lost, and the phone says so. ``python -m tests.faults`` prints the table of faults.md.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Fault:
    """One kind of harm, and what makes it happen in our tests."""

    number: int
    name: str
    sim: tuple[str, ...] = field(default=(), kw_only=True)
    browser: tuple[str, ...] = field(default=(), kw_only=True)
    server: tuple[str, ...] = field(default=(), kw_only=True)
    beyond: str = field(default="", kw_only=True)
    told: str = field(default="", kw_only=True)

    def row(self, done: Mapping[str, int]) -> str:
        """Return the fault's row in Markdown, with how often the simulation made each harm."""
        simulated = ", ".join(f"{name} {done.get(name, 0):,}" for name in self.sim)
        tests = [str(len(names) or "") for names in (self.browser, self.server)]
        lost = f"told: {self.told}" if self.told else "nothing"
        return f"| {' | '.join([str(self.number), self.name, simulated, *tests, lost])} |"


FAULTS = (
    Fault(
        1,
        "browser killed at each point of a save",
        sim=("browser killed", "battery gone"),
        browser=(
            "test_kills.py::test_a_job_survives_kills_at_its_claims",
            "tests/browser/test_storage.py::test_a_kill_at_any_claim_loses_none",
        ),
    ),
    Fault(
        2,
        "profile damaged: bytes flipped, log cut, files gone",
        sim=(
            "byte flipped: journal",
            "byte flipped: photo",
            "journal unreadable",
            "lost: base",
            "lost: journal",
            "lost: base and journal",
        ),
        browser=(
            "tests/browser/test_storage.py::test_a_damaged_database_is_healed_from_the_journal",
            "tests/browser/test_storage.py::test_a_lost_journal_is_written_anew",
            "test_storage_gone.py::test_a_photo_whose_file_is_gone_is_told",
        ),
        told="entries of which both copies were destroyed, photos (of them there is one copy)",
    ),
    Fault(
        3,
        "quota refused in the middle of a transaction",
        sim=("database refuses: QuotaExceededError",),
        browser=(
            "tests/browser/test_storage.py::test_a_quota_refused_in_the_middle_keeps_nothing",
        ),
    ),
    Fault(
        4,
        "phone's disk full: a photo does not fit",
        sim=("disk full",),
        browser=(
            "tests/browser/test_storage.py::test_on_a_full_phone_photos_wait_and_steps_go_in",
        ),
    ),
    Fault(
        5,
        "phone's disk at 0 bytes, freed, started again",
        sim=("disk full", "disk freed", "torn log lost"),
        browser=(
            "tests/browser/test_storage.py::test_a_disk_filled_to_the_last_byte_loses_no_claim",
        ),
    ),
    Fault(
        6,
        "page killed while the camera is open",
        sim=("browser killed", "battery gone"),
        browser=("test_phone.py::test_a_page_that_dies_behind_the_camera_comes_back",),
    ),
    Fault(
        7,
        "origin wiped",
        sim=("origin wiped",),
        browser=(
            "tests/browser/test_storage.py::test_a_wipe_under_the_open_page_is_told_without_a_reload",
            "tests/browser/test_storage.py::test_an_eviction_between_two_starts_is_told",
            "test_storage_gone.py::test_a_storage_that_takes_long_leaves_no_blank_screen",
        ),
        told="what had not been sent",
    ),
    Fault(8, "handle of IndexedDB dies", sim=("handle dies", "database refuses: UnknownError")),
    Fault(
        9,
        "answer lost after the commit",
        sim=("line: answer lost", "line: answer cut"),
        server=(
            "test_kills.py::test_a_server_killed_at_any_point_has_what_it_claimed_and_goes_on",
        ),
        browser=("test_kills.py::test_a_job_survives_kills_at_its_claims",),
    ),
    Fault(
        10,
        "request doubled, reordered, delayed past a newer one",
        sim=("line: doubled", "line: late"),
        server=("test_parallel.py::test_batches_doubled_shuffled_and_late_come_to_the_same_log",),
        browser=("test_kills.py::test_a_job_survives_kills_at_its_claims",),
    ),
    Fault(
        11,
        "somebody else answers: a portal, a proxy, a cut TLS line",
        sim=("line: portal", "line: gateway", "line: refused", "line: impostor"),
        browser=("test_line.py::test_no_answer_of_a_portal_counts",),
        beyond="a wrong certificate: TLS ends before us, and its failure is a failed fetch",
    ),
    Fault(
        12,
        "upload cut at byte N",
        sim=("line: cut",),
        server=(
            "test_tus.py::test_a_line_cut_at_any_byte_leaves_what_arrived_and_never_more",
            "test_tus.py::test_cut_off_and_begun_anew_it_goes_on_where_the_server_stands",
        ),
        browser=("test_line.py::test_a_photo_that_is_cut_at_any_byte_goes_on",),
    ),
    Fault(
        13,
        "app updated while a job is open",
        browser=(
            "test_update.py::test_an_open_job_is_finished_before_a_newer_build_is_offered",
            "test_golden.py::test_the_app_of_the_past_goes_on_with_todays_workshop",
        ),
    ),
    Fault(
        14,
        "entries of an older form in the queue",
        browser=(
            "test_golden.py::test_todays_app_goes_on_with_a_phone_of_the_past",
            "test_golden.py::test_the_app_of_the_past_goes_on_with_todays_workshop",
            "test_golden_owner.py::test_todays_app_goes_on_with_an_owners_browser_of_the_past",
            "test_golden_owner.py::test_an_owners_app_of_the_past_goes_on_with_todays_workshop",
            "test_golden.py::test_a_file_of_the_past_is_imported_and_a_bag_of_the_past_is_read",
        ),
    ),
    Fault(
        15,
        "clock years off, backwards, in another zone",
        sim=("clock off", "forty days go by"),
        browser=("test_phone.py::test_a_clock_that_is_years_off_and_runs_back_changes_no_order",),
    ),
    Fault(
        16,
        "two devices on one job",
        sim=("two devices on one job",),
        server=(
            "test_parallel.py::test_two_entries_of_one_number_at_once_are_both_kept_and_an_alarm",
        ),
    ),
    Fault(
        17,
        "workshop restored from an old backup",
        sim=("restored from a backup",),
        server=(
            "test_restore.py::test_a_tail_that_phones_bring_back_is_no_fork",
            "test_restore.py::test_a_photo_the_backup_lacks_is_asked_for_again_before_it_is_receipted",
            "test_restore.py::test_a_backup_of_the_lost_disk_covers_nothing_here",
        ),
    ),
    Fault(
        18,
        "workshop killed at named points",
        sim=("workshop restarted",),
        server=(
            "test_kills.py::test_a_server_killed_at_any_point_has_what_it_claimed_and_goes_on",
            "test_kills.py::test_a_workshop_whose_making_was_killed_is_whole_or_none_at_all",
        ),
    ),
    Fault(
        19,
        "device revoked while it was offline",
        sim=("revoked",),
        server=(
            "tests/server/web/test_sync.py::test_a_revoked_phone_reads_nothing_and_its_pushes_are_taken",
        ),
    ),
    Fault(
        20,
        "history rewritten in the workshop",
        server=(
            "test_history.py::test_an_edited_record_is_given_to_nobody_and_stops_a_rebuild",
            "test_history.py::test_a_history_grown_anew_and_signed_is_another_root_to_all_who_saw_the_first",
            "test_history.py::test_a_cut_tail_is_told_to_the_first_phone_that_saw_more",
        ),
    ),
    Fault(
        21,
        "two tabs, two versions",
        sim=("second window", "window closed", "journal held by a page that is gone"),
        browser=(
            "test_phone.py::test_a_second_window_only_shows_and_takes_over",
            "test_phone.py::test_a_newer_app_in_another_window_gets_the_storage",
        ),
    ),
    Fault(
        22,
        "workshop's disk full",
        sim=("workshop full",),
        server=(
            "test_full_disk.py::test_photos_wait_below_the_floor_and_entries_and_small_values_go_on",
            "test_full_disk.py::test_a_disk_full_to_its_last_page_loses_nothing_that_was_acknowledged",
        ),
    ),
    Fault(
        23,
        "n-th write or flush fails in the workshop",
        server=(
            "test_io_errors.py::test_a_disk_that_fails_at_any_call_costs_an_answer_and_nothing_else",
        ),
    ),
    Fault(
        24,
        "slow line, long latency, flapping",
        sim=("weather: slow", "weather: flapping", "weather: down"),
        server=(
            "tests/server/web/test_serve.py::test_bodies_that_never_end_do_not_stop_the_others",
            "tests/server/web/test_serve.py::test_a_line_whose_phone_is_gone_is_found_out",
        ),
        browser=("test_slow.py::test_a_phone_converges_on_a_line_that_is_slow_and_flaps",),
    ),
    Fault(
        25,
        "bombs, polyglots, archives that slip, nonsense numbers",
        server=(
            "test_nonsense.py::test_a_file_that_is_two_things_is_never_shown_as_either",
            "test_nonsense.py::test_a_picture_that_unpacks_to_a_mountain_takes_little_memory",
            "test_nonsense.py::test_nonsense_in_json_is_refused_at_the_door",
            "tests/server/web/test_serve.py::test_a_head_of_64_kib_and_a_doubled_length_are_answered_and_nothing_stops",
            "tests/server/bag/test_zip.py::test_a_name_that_leaves_the_folder_is_refused",
            "tests/server/bag/test_zip.py::test_a_bomb_is_refused_by_its_ratio_before_it_is_unpacked",
            "tests/server/procedure/language/test_source.py::test_a_bomb_of_aliases_is_refused_before_it_unfolds",
            "tests/server/ledger/test_canonical.py::test_a_hundred_thousand_brackets_are_refused_and_not_a_crash",
        ),
    ),
    Fault(
        26,
        "parallel uploads, identical and conflicting",
        server=(
            "test_parallel.py::test_one_photo_from_twenty_phones_is_one_file_and_one_record",
            "test_parallel.py::test_other_bytes_under_the_name_of_a_photo_never_take_its_place",
            "test_parallel.py::test_one_batch_twenty_times_at_once_has_one_place_an_entry",
        ),
    ),
    Fault(
        27,
        "token or invitation used twice, raced, replayed",
        server=(
            "test_parallel.py::test_many_phones_of_one_invitation_one_comes_in",
            "test_parallel.py::test_a_signed_nonce_opens_one_session_however_often_it_is_sent",
            "tests/server/web/test_sync.py::test_a_session_ends_by_sign_out_and_by_time",
            "tests/server/web/test_limits.py::test_guessing_at_the_door_comes_to_an_end",
        ),
    ),
    Fault(
        28,
        "signed out or enrolled anew with an unsent queue",
        sim=("enrolled anew",),
        browser=("test_phone.py::test_a_phone_enrolled_anew_sends_what_it_wrote_before",),
    ),
    Fault(
        29,
        "erased, then an old backup restored",
        sim=("erased", "restored from a backup"),
        server=(
            "test_restore.py::test_what_was_erased_after_the_backup_goes_again_when_the_order_comes_back",
            "test_restore.py::test_what_the_backup_knows_erased_is_gone_when_it_is_served_though_a_copy_has_it",
        ),
    ),
    Fault(
        30,
        "workshop's log deleted, cut or flipped",
        server=(
            "tests/server/store/test_newest_checkpoint.py::test_a_lost_log_stops_the_server_and_the_way_out_loses_nothing",
            "tests/server/store/test_newest_checkpoint.py::test_a_log_that_is_lost_with_a_change_of_keys_is_found",
        ),
    ),
    Fault(
        31,
        "backup overwritten: by another workshop, an older ledger, a changed byte",
        server=(
            "tests/server/store/test_backup.py::test_a_changed_byte_in_the_ledger_does_not_reach_the_backup",
            "tests/server/store/test_backup.py::test_a_record_that_nobody_signed_is_found_in_a_tree_grown_over_it",
            "tests/server/store/test_backup.py::test_another_workshops_backup_is_left_as_it_is",
            "tests/server/store/test_backup.py::test_a_smaller_ledger_is_refused",
        ),
    ),
    Fault(
        32,
        "photos in an object store: it is gone, hangs, loses a server, changes a photo",
        server=(
            "tests/server/store/test_photo_port.py::test_the_store_is_gone_for_a_while_and_all_else_goes_on",
            "tests/server/store/test_photo_port.py::test_a_store_that_hangs_holds_one_who_asks_for_so_long_and_then_nobody",
            "tests/server/store/test_photo_port.py::test_one_of_three_volumes_is_killed_and_every_photo_is_there",
            "tests/server/store/test_photo_port.py::test_other_bytes_go_to_nobody_and_are_set_aside_when_the_right_ones_come",
        ),
    ),
    Fault(
        33,
        "workshop killed wherever it writes: to SQLite, PostgreSQL, a folder, an object store",
        server=(
            "test_points.py::test_a_server_killed_wherever_it_writes_keeps_what_it_said_and_goes_on",
            "test_serve_killed.py::test_what_phones_were_told_before_serve_was_killed_stands",
        ),
    ),
)

HEAD = """\
| | fault | simulated, times | browser tests | server tests | lost |
| --- | --- | --- | --- | --- | --- |"""


def table(done: Mapping[str, int]) -> str:
    """Return all faults in Markdown; `done` is how often each harm of the simulation was done."""
    return "\n".join([HEAD, *(fault.row(done) for fault in FAULTS)])
