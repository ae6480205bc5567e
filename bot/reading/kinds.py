"""The kinds of token, each with the one letter that patterns are written in."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """What a token is. The value is its letter in a clause's code string."""

    NUMBER = "N"  # whole number
    FRACTION = "D"  # 3.5, 82.5, 3 1/2
    CLOCK = "C"  # 12:34, value in seconds
    ORDINAL = "O"
    ROUND = "R"
    REP = "P"
    MOVEMENT = "M"
    TOTAL = "T"
    PLUS = "+"
    AND = "a"
    HALF = "H"
    INTO = "i"
    OF = "o"
    FULL = "F"
    FINISHED = "f"
    REACHED = "g"
    DID = "d"
    LEFT = "e"
    CAPPED = "K"
    UNFINISHED = "X"
    SHORT_OF = "s"
    LOWEST = "L"
    MINUTE = "m"
    SECOND = "c"
    HOUR = "h"
    KILOGRAM = "k"
    POUND = "l"
    METRE = "t"
    KILOMETRE = "q"
    MILE = "j"
    TIMES = "x"
    DAY = "Y"  # value: -1 for yesterday, or the number of the day
    DAY_WORD = "z"  # the bare word, until a number joins it
    TODAY = "y"
    DIVISION = "V"
    EFFORT = "E"
    CORRECTION = "Z"
    SOFT_CORRECTION = "G"  # "sorry": a correction only right before the score
    NEGATION = "n"
    PLAN = "w"
    PROGRESS = "u"
    OTHER = "p"
    ASKING = "Q"
    QUESTION_MARK = "?"
    AT = "@"
    OR = "|"
    THANKS = "A"
    COMMA = ","
    COLON = ":"
    DASH = "-"
    SLASH = "/"
    STOP = "."
    WORD = "W"
    VAGUE = "v"
    EARLIER = "b"  # another time than the one that counts: last year, a practice go
    HIGHEST = "B"
    YARD = "r"
    LETTER_M = "U"  # "m": minutes or metres
    QUARTER = "I"
    OTHER_SIGN = "S"  # currency, percent, hash: the number beside it is no score
    ALL = "J"  # all of the lunges
    LESS = "<"  # two rounds minus one burpee
    SELF = "#"  # "me", in a list of people
    VOID = "!"  # what follows is withdrawn: ignore the 3 + 4
    WRONG = "~"  # what went before is withdrawn: 9:52 was wrong
    NUMBERED = "&"  # push-up number 5
    SCHEME = "'"  # the letters that make a number the name of a round: the 16s
    POINT = "`"  # two point three five
    NOUGHT = "0"  # nine oh six
    INVITE = "2"  # bring a mat, see you at: no score stands near
    ASKING_FIRST = "5"  # "is", "can": asks only where no word stands in front
    KIT = "4"  # behind a weight: a 16 kg kettlebell is no load lifted
    LAP = "3"  # of some length
    LAST = "%"  # the last round
    WEEKDAY = "1"  # Tuesday's; value 1 to 7


# Names in the word files -> kinds. "filler" is dropped, "yesterday" is a DAY at once.
WORD_KINDS = {
    "round": Kind.ROUND,
    "rep": Kind.REP,
    "total": Kind.TOTAL,
    "plus": Kind.PLUS,
    "and": Kind.AND,
    "half": Kind.HALF,
    "quarter": Kind.QUARTER,
    "earlier": Kind.EARLIER,
    "highest": Kind.HIGHEST,
    "yard": Kind.YARD,
    "minute_or_metre": Kind.LETTER_M,
    "into": Kind.INTO,
    "of": Kind.OF,
    "full": Kind.FULL,
    "finished": Kind.FINISHED,
    "reached": Kind.REACHED,
    "did": Kind.DID,
    "left": Kind.LEFT,
    "capped": Kind.CAPPED,
    "unfinished": Kind.UNFINISHED,
    "short_of": Kind.SHORT_OF,
    "lowest": Kind.LOWEST,
    "minute": Kind.MINUTE,
    "second": Kind.SECOND,
    "hour": Kind.HOUR,
    "kilogram": Kind.KILOGRAM,
    "pound": Kind.POUND,
    "metre": Kind.METRE,
    "kilometre": Kind.KILOMETRE,
    "mile": Kind.MILE,
    "times": Kind.TIMES,
    "day": Kind.DAY_WORD,
    "yesterday": Kind.DAY,
    "today": Kind.TODAY,
    "effort": Kind.EFFORT,
    "correction": Kind.CORRECTION,
    "soft_correction": Kind.SOFT_CORRECTION,
    "negation": Kind.NEGATION,
    "plan": Kind.PLAN,
    "progress": Kind.PROGRESS,
    "other": Kind.OTHER,
    "asking": Kind.ASKING,
    "at": Kind.AT,
    "or": Kind.OR,
    "vague": Kind.VAGUE,
    "clock_time": Kind.OTHER_SIGN,
    "thing_counted": Kind.OTHER_SIGN,
    "thanks": Kind.THANKS,
    "all": Kind.ALL,
    "less": Kind.LESS,
    "self": Kind.SELF,
    "void": Kind.VOID,
    "wrong": Kind.WRONG,
    "numbered": Kind.NUMBERED,
    "scheme": Kind.SCHEME,
    "lap": Kind.LAP,
    "asking_first": Kind.ASKING_FIRST,
    "but": Kind.COMMA,
    "invite": Kind.INVITE,
    "last": Kind.LAST,
    "point": Kind.POINT,
    "nought": Kind.NOUGHT,
}
SIGNS = {
    "+": Kind.PLUS,
    "&": Kind.AND,
    ",": Kind.COMMA,
    ":": Kind.COLON,
    "-": Kind.DASH,
    "/": Kind.SLASH,
    "?": Kind.QUESTION_MARK,
    "@": Kind.AT,
    "*": Kind.CORRECTION,  # "*4+12": the usual mark of a corrected word
    "=": Kind.COLON,
    ".": Kind.STOP,
    "!": Kind.STOP,
    ";": Kind.STOP,
    "\n": Kind.STOP,
    "#": Kind.NUMBERED,
}
