"""Somebody was said to be hurt: whatever is asked then, or not understood, is answered with what to do for them.

It stays so until it is said that it was a false alarm or touched nobody, or the job is left: who kneels beside the hurt
man asks "what do I do", not by the words of any function, and must not hear "What diameter?". That he is fine ends it
too, but for oil under the skin, which often hurts only hours later: that is told again, and how a false alarm is said;
no torque is. What looks like a puncture behind a spray is one. Once a reading was said, the work goes on, and only what
is asked of the hurt one is answered so.

Duty: whether what was said is still of that. It must not say it (:mod:`voicefit.dialogue.functions.safety` does).
"""

from __future__ import annotations

import re

from voicefit.dialogue import standing
from voicefit.dialogue.meanings import Confirm, Decision, Take, readings_of
from voicefit.dialogue.state import Injury
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Meaning, Rejection

# What who needs to know what to do may be taken to ask; a price, an undo or a new job is the work.
_ASKING_GROUPS = frozenset({"reasons", "teaching"})
_ASKING = frozenset(
    {"where-are-we", "what-do-you-have", "help", "hello", "aside", "beyond", "cannot-tell", "safety", "next"}
)
_GOES_ON = frozenset({"resume", "save"})  # "carry on then?": not with oil under the skin
_RESUME = "resume"
# What is said right behind an alarm by who goes on, by the functions that it calls.
_BEHIND_AN_ALARM = frozenset({"okay", "more", "hello", "resume", "next", "repeat", "aside", "where-are-we"})
_NODDED_AT = frozenset({"leak", "hot"})
_WANTS_TO_GO_ON = re.compile(
    r"\b(go|goes|carry|crack|move|get|push|press) on\b|\bcontinue\b|\bwhats? (was |is )?(the question|next)\b"
    r"|\bwhat (did|do) you (ask|want)\b|\bwhere were we\b|\bback to (it|work|the)\b|\blets (go|get)\b"
)
_IS_WELL = re.compile(
    r"\b(fine|ok|alright|all right|all good|well|sorted|no harm|no bother|no worries|safe|under control|stopped|out now"
    r"|all clear|dealt with|cooled|nothing (bad|serious|much|happened))\b"
)
_NOT_SO = re.compile(r"\b(not|never|nothing like|isnt|arent|wasnt|aint|hardly|far from)\b")
_USING = "using it"  # "what do I put on it": of the wound, where nothing leads yet
_ALL_WELL = "all-well"
_SPRAY = "leak"  # the caution
_UNDER_THE_SKIN = "injected"  # what to do for that does not end with the work going on
_OF_THE_BODY = word_set(
    "him her he she his himself herself mate finger fingers fingertip thumb hand hands palm wrist arm arms leg foot "
    "skin eye eyes face wound blood swelling swollen numb pain plaster bandage hospital doctor ambulance nurse"
)
_HURTS = word_set("hurt hurts hurting pain painful sore sting stings stinging throbbing")
_FEELS = re.compile(
    r"\b(i|im|ive|he|hes|she|shes|they|theyre|we|were|it|its)( (is|am|are|feels?|felt|says?|said|looks?|seems?|reckons?"
    r"|thinks?|ill|will|be|been|all|he|hes|im|quite|now|really|perfectly|just|still|was|a|bit|much|so|that|to|me|i))*"
    r" (fine|ok|okay|well|alright|right|good|better|nothing)\b"
)
_ASKS_WHAT_TO_DO = re.compile(
    r"\bwhat (do|does|shall|should|must|can|could|would|will|did) (i|we|he|she|they|you|my mate|the lad)"
    r" (have to |need to )?do\b"
    r"|\bwhats? (is )?(there )?(to do|to be done)\b"
)
# Nobody was touched: said of the whole of somebody. What missed the eye may be in the cheek; what is not out yet is in.
_FALSE_ALARM = re.compile(
    r"false alarm|\b(panic over|joking|joke|kidding|messing|swearing)\b|\bmissed (me|him|her|us|everybody|everyone)\b"
    r"|\b(nobodys?|no ones?|none of us)( is| was| got| has been| really| here)* (hurt|hit|injured|touched)\b"
    r"|\bnothings?( has| really)* (hit|touched) (me|him|her|us|anybody|anyone)\b"
    r"|\b(not|never|havent|hasnt|didnt|wasnt)( been| really| even)* (touch|touched) (me|him|her|us|anybody|anyone)\b"
    r"|\b(it|oil|jet|spray|stuff|that)( has| have| did| was)?( not|nt| never| hasnt| didnt)( actually| really| even)*"
    r" (hit|get|got|reach|reached)( near| to)? (me|him|her|us|anybody|anyone)\b(?! (to|in|on|out|off)\b)"
)
# Ends the alarm of a blow or of a cut. What oil under the skin leaves looks like no more than that, and no oil is seen.
_SLIGHT = re.compile(
    r"\b(just|only|nothing but|no more than|merely)( a)?( little| small| wee| tiny| slight| bit of a| bit)*"
    r" (scrapes?|scratch|scratches|scratched|grazes?|grazed|scraped|skinned|nick|knock|bruise|bump|scuff)\b"
    r"|\b(nowt|nothing (bad|serious|much|to worry about)|not (bad|serious|deep|much))\b"
)
_NO_OIL = re.compile(  # tells what a wound is not; of oil under the skin none is seen
    r"\b(no|without)( any| a drop of)? (oil|jet|spray|fluid)\b(?! (is|was|comes?|coming|came|out|from)\b)"
)
# Long enough ago that nothing is left to do for it; never of a week or less, for oil under the skin hurts later.
_LONG_AGO = re.compile(
    r"\b(last|the other|that) (year|month|winter|summer|spring|autumn|fall|season|job)\b"
    r"|\b(years|months|decades|ages) (ago|back|since)\b|\b(long|a while) (ago|back)\b|\bback (in|when|then)\b"
    r"|\bin (the )?(spring|summer|autumn|winter)\b|(?<!\bat )\bonce$"
    r"|\b(when|while) (i|we|he) (was|were) (an? )?(apprentice|young|younger|kid|kids|training|in the army)\b"
    r"|\b(i|we) (know|knew|heard of|had)( of)? (an?|some|one|somebody|someone)\b[a-z ]* who\b"
)
_BY_NOW = re.compile(
    r"\b(now|again|today|tonight|just|still|is|are|am|im|hes|shes|its|has|have|ive|weve|theyve|hasnt|help|quick|quickly"
    r"|same|like|as|this (time|morning|minute|week|afternoon|evening|very))\b"
)
_CLAUSES, _WITH_ITS_TIME, _A_TIME = re.compile(r"[,;.!?]\s*|\s+and\s+"), 2, 4  # clauses, words
_MARK = re.compile(
    r"\b(red|tiny|little|small|wee|pin)( red)? (dot|spot|mark|prick|speck)\b|\b(pin ?prick|puncture|splinter)\b"
)
_OF_A_PART = word_set("hose cover nut fitting thread pipe ring seat weld gauge paint painted stamped tag cap sleeve")


def is_open(turn: Turn) -> Injury | None:
    """The injury that was said in the job in hand."""
    known = turn.focus.injury
    return known if known is not None and known.job == turn.job.number else None


def is_false_alarm(heard: str) -> bool:
    """Whether words say that nothing happened, that it was long ago, or that nobody was touched, and not how somebody
    feels."""
    return _FALSE_ALARM.search(_plain(heard)) is not None or is_long_ago(heard)


def is_long_ago(heard: str) -> bool:
    """Whether words tell of what happened long ago, and of nothing that may be so now: each clause says when, or one of
    two is no more than that."""
    clauses = [text for part in _CLAUSES.split(heard) if (text := _plain(part))]
    when = [text for text in clauses if _LONG_AGO.search(text)]
    told = when == clauses or (len(clauses) == _WITH_ITS_TIME and any(len(text.split()) <= _A_TIME for text in when))
    return bool(when) and told and _BY_NOW.search(_plain(heard)) is None


def spoken_of(turn: Turn, meaning: Meaning) -> str | None:
    """The function that answers what is said of the injury that is open, or behind an alarm; ``None``: another one."""
    return _of_the_injury(turn, meaning) or _behind_an_alarm(turn, meaning)


def _behind_an_alarm(turn: Turn, meaning: Meaning) -> str | None:
    """Right behind an alarm: who says that it is fine, or wants to go on, is asked what is open, or what to do first. A
    mere nod is none of that, but behind a leak or hot oil. With oil under the skin, what to do is told again."""
    by_id, known = turn.knowledge.registry.by_id, is_open(turn)
    alarms = {name for name in turn.before.last.did if by_id[name].urgent}
    names = {each.name for each in _commands(meaning)}
    others = [item for item in meaning.items if not isinstance(item, Command)]
    text = _plain(meaning.text)
    if not alarms or not names or others or not names <= _BEHIND_AN_ALARM or _NOT_SO.search(text):
        return None
    goes_on = _WANTS_TO_GO_ON.search(text) is not None
    well = goes_on or _IS_WELL.search(text) is not None or (alarms <= _NODDED_AT and names == {"okay"})
    if not well or (not goes_on and names <= {"repeat", "aside"}):
        return None
    if known is not None and known.caution == _UNDER_THE_SKIN:
        return known.caution
    return _RESUME if goes_on else _ALL_WELL


def _of_the_injury(turn: Turn, meaning: Meaning) -> str | None:
    """The function that answers where the words are of the injury that is open, whatever else they may be taken for:
    its caution where they say how the hurt one feels, or ask what to do ("I'm ok now" is no yes); or that all is well.
    A red dot behind a spray opens one."""
    known = is_open(turn)
    if any(turn.knowledge.registry.by_id[each.name].urgent for each in _commands(meaning)):
        return None  # it is said as it is
    text = _plain(meaning.text)
    words = text.split()
    if (known or turn.has_told(_SPRAY)) and _MARK.search(text) and _OF_A_PART.isdisjoint(words):
        return _UNDER_THE_SKIN
    if known is None or any(not reading.guessed for reading in readings_of(meaning)):
        return None
    if is_false_alarm(text) or (known.caution != _UNDER_THE_SKIN and _NO_OIL.search(text)):
        return _ALL_WELL
    hurts = not _HURTS.isdisjoint(words)
    feels = (_FEELS.search(text) or _SLIGHT.search(text)) and not _does_the_work(turn, meaning)
    if feels and not hurts and known.caution != _UNDER_THE_SKIN:
        return _ALL_WELL
    asks = _ASKS_WHAT_TO_DO.search(text) and not (known.working and known.caution != _UNDER_THE_SKIN)
    return known.caution if hurts or feels or asks else None


def meant(turn: Turn, decision: Decision) -> str | None:
    """The caution of the injury that is open, where what was said is of that: no reading, no alarm and no other
    function is called; where the work goes on, no more than what is said of somebody's body."""
    known = is_open(turn)
    if known is None:
        return None
    if not isinstance(decision, Take | Confirm):
        return None if known.working else known.caution
    meaning, by_id = decision.meaning, turn.knowledge.registry.by_id
    commands = _commands(meaning)
    of_safety = any(by_id[each.name].group == "safety" and each.name not in ("safety", _ALL_WELL) for each in commands)
    if readings_of(meaning) or of_safety:
        return None
    if any(each.name == _ALL_WELL for each in commands):
        return None if is_false_alarm(meaning.text) or known.working else known.caution
    groups = {by_id[each.name].group for each in commands}
    if known.caution == _UNDER_THE_SKIN and not known.working and any(each.name in _GOES_ON for each in commands):
        return known.caution
    body = not _OF_THE_BODY.isdisjoint(_plain(meaning.text).split())
    if known.working:
        lost = all(isinstance(item, Rejection) for item in meaning.items) or {each.name for each in commands} == {
            "beyond"
        }
        return known.caution if body and lost else None
    asked = bool(groups & _ASKING_GROUPS) or any(each.name in _ASKING for each in commands)
    asked = asked or (_USING in groups and (known.caution == _UNDER_THE_SKIN or not standing.leads(turn.belief)))
    lost = all(isinstance(item, Rejection) for item in meaning.items)
    return known.caution if body or asked or lost else None


def _does_the_work(turn: Turn, meaning: Meaning) -> bool:
    """Whether it calls a function of the work: "it's fine, what torque does it take"."""
    by_id = turn.knowledge.registry.by_id
    return any(
        by_id[each.name].group not in {"answers", "talk", "safety", *_ASKING_GROUPS} and each.name not in _ASKING
        for each in _commands(meaning)
    )


def _commands(meaning: Meaning) -> list[Command]:
    return [item for item in meaning.items if isinstance(item, Command)]


def _plain(text: str) -> str:
    """The words in small letters, without signs."""
    return " ".join(re.findall(r"[a-z]+", text.casefold().replace("'", "").replace("’", "")))
