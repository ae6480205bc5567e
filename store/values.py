"""What the store hands out and takes in: frozen values, standard library only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import NewType

ChatId = NewType("ChatId", int)
UserId = NewType("UserId", int)
ChallengeId = NewType("ChallengeId", int)
UpdateId = NewType("UpdateId", int)


class ResultState(StrEnum):
    """What a stored result is worth."""

    COUNTED = "counted"  # ranks and keeps the streak
    LATE = "late"  # said after the make-up window: on record, not ranked, no streak
    NO_REP = "no_rep"  # struck by an organiser
    WITHDRAWN = "withdrawn"  # taken back by the person or removed by an organiser

    @property
    def stands(self) -> bool:
        """Whether the result is on record as the person's own, ranked or not."""
        return self in {ResultState.COUNTED, ResultState.LATE}


class ChangeKind(StrEnum):
    """What happened to a result, one history line each."""

    RECORDED = "recorded"
    CORRECTED = "corrected"
    NO_REP = "no_rep"
    WITHDRAWN = "withdrawn"
    REINSTATED = "reinstated"
    REREAD = "reread"  # the day was changed, and the same words are worth something else


class PostState(StrEnum):
    """Where a planned post stands."""

    PLANNED = "planned"
    CLAIMED = "claimed"  # about to be sent; after a crash: unknown whether it was
    SENT = "sent"
    SKIPPED = "skipped"  # too late to be useful, or called off
    UNKNOWN = "unknown"  # a crash fell between sending and confirming; an organiser decides


@dataclass(frozen=True, slots=True)
class Challenge:
    """A run of days in one group chat."""

    chat_id: ChatId
    challenge_id: ChallengeId  # counts from 1 within the chat
    title: str
    tz: str  # IANA name
    start_date: date  # local date of day 1
    content: str  # the challenge as JSON, opaque to the store
    thread_id: int | None  # topic to post to
    organiser_id: UserId
    created_at: datetime
    ended_at: datetime | None
    paused_at: datetime | None = None  # since then nothing is posted and no day opens
    calendar_id: str = (
        ""  # names the challenge in calendar files, whatever happens to its chat's id
    )


@dataclass(frozen=True, slots=True)
class Day:
    """One day of a challenge on the clock. All instants aware, UTC.

    Days come in the order of their numbers; between two of them there may be dates without one.
    """

    number: int  # from 1
    is_rest: bool
    on_date: date  # the local date it belongs to, whatever the hour of its post
    opens_at: datetime
    closes_at: datetime
    make_up_until: datetime  # a result said at or before this instant counts
    is_skipped: bool = False  # called off: never posted, counts for nobody
    is_held: bool = False  # the challenge was paused before it opened

    @property
    def is_scored(self) -> bool:
        """Whether people can have a result on it."""
        return not self.is_rest and not self.is_skipped

    def has_opened(self, when: datetime) -> bool:
        """Say whether it is out at an instant."""
        return self.opens_at <= when and not self.is_skipped and not self.is_held

    def has_closed(self, when: datetime) -> bool:
        """Say whether it is out and over at an instant; it may still be made up."""
        return self.closes_at <= when and self.has_opened(when)


@dataclass(frozen=True, slots=True)
class Participant:
    """A person in one challenge."""

    chat_id: ChatId
    challenge_id: ChallengeId
    user_id: UserId
    name: str
    division: str  # the home division
    language: str  # e.g. "en"
    joined_at: datetime
    can_write_to: bool  # the person has opened a private chat with the bot


@dataclass(frozen=True, slots=True)
class Joined:
    """What joining did."""

    participant: Participant
    previous_division: str | None  # None: joined for the first time


@dataclass(frozen=True, slots=True)
class Entry:
    """A score about to be stored. `rank_key`: integer, larger is better, comparable in one day."""

    chat_id: ChatId
    challenge_id: ChallengeId
    day_number: int
    user_id: UserId
    division: str
    rank_key: int
    result: str  # the reading's result as JSON, opaque to the store
    raw_text: str
    message_chat_id: ChatId  # where it was said: the group, or a private chat
    message_id: int
    said_at: datetime
    effort: int | None = None  # 0 to 10, as the person felt it
    load_g: int | None = None  # what was lifted, where that is not the score


@dataclass(frozen=True, slots=True)
class Result:
    """A stored score."""

    chat_id: ChatId
    challenge_id: ChallengeId
    day_number: int
    user_id: UserId
    division: str
    rank_key: int
    result: str
    raw_text: str
    message_chat_id: ChatId
    message_id: int
    said_at: datetime
    recorded_at: datetime
    state: ResultState
    effort: int | None = None
    load_g: int | None = None
    mark: str | None = None  # why an organiser should look at it; a word of the bot's


@dataclass(frozen=True, slots=True)
class Recorded:
    """What recording did."""

    result: Result
    replaced: Result | None  # as it stood before, whatever its state; equal to `result`: no change


@dataclass(frozen=True, slots=True)
class Change:
    """One line of a result's history."""

    change_number: int  # from 1 within one person's day
    kind: ChangeKind
    by: UserId
    at: datetime
    why: str
    before: str | None  # Result as JSON
    after: str  # Result as JSON


@dataclass(frozen=True, slots=True)
class DayPlace:
    """One line of a day's standings in one division."""

    place: int  # standard competition ranking: 1, 2, 2, 4
    user_id: UserId
    name: str
    rank_key: int
    result: str


@dataclass(frozen=True, slots=True)
class DayScore:
    """A counted score of a day, with what an organiser was told about it."""

    user_id: UserId
    result: str
    mark: str | None


@dataclass(frozen=True, slots=True)
class OverallPlace:
    """One line of the overall standings of a division."""

    place: int
    user_id: UserId
    name: str
    points: int  # sum of the counted placings; the lowest wins
    days_done: int  # days with a counted result, in any division


@dataclass(frozen=True, slots=True)
class Streak:
    """Days in a row with a counted result; rest days neither break nor lengthen it."""

    user_id: UserId
    current: int
    best: int


@dataclass(frozen=True, slots=True)
class PostPlan:
    """A post as it is planned when a challenge starts."""

    day_number: int
    kind: str
    due_at: datetime
    useful_until: datetime


@dataclass(frozen=True, slots=True)
class PlanChange:
    """One line of the history of a challenge's plan."""

    change_number: int  # from 1 within the challenge
    by: UserId
    by_name: str  # as it was then; "" once the person has asked to be forgotten
    at: datetime
    what: str  # plain words
    told_at: datetime | None = None  # when the group was told, if it was made in private


@dataclass(frozen=True, slots=True)
class Post:
    """Something to publish at a planned time, once."""

    chat_id: ChatId
    challenge_id: ChallengeId
    day_number: int
    kind: str  # e.g. "day", "standings"
    due_at: datetime
    useful_until: datetime  # later than this it is skipped
    state: PostState
    claimed_at: datetime | None
    sent_at: datetime | None
    message_id: int | None
    note: str


@dataclass(frozen=True, slots=True)
class Ask:
    """A question put to a person, with complete choices behind its buttons."""

    chat_id: ChatId  # of the challenge
    ask_id: int  # counts from 1 within the chat
    challenge_id: ChallengeId
    user_id: UserId
    day_number: int
    kind: str
    choices: str  # JSON, opaque to the store
    raw_text: str
    message_chat_id: ChatId
    message_id: int  # of the person's message
    said_at: datetime
    asked_at: datetime
    closed_at: datetime | None


@dataclass(frozen=True, slots=True)
class Update:
    """A raw update waiting in the inbox."""

    update_id: UpdateId
    chat_id: ChatId  # 0 when the update belongs to no chat
    payload: str  # JSON as received
    received_at: datetime
    attempts: int


@dataclass(frozen=True, slots=True)
class Owed:
    """An answer owed: committed with its effect, sent afterwards, then cleared."""

    owed_id: int
    chat_id: ChatId
    call: str  # JSON, opaque to the store
    created_at: datetime
    not_before: datetime
    useful_until: datetime
    attempts: int
