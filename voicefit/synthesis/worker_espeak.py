"""The child process that speaks through libespeak-ng. Run as a script, with nothing but the standard library.

    python -I worker_espeak.py LIBRARY DATA_FOLDER

Duty: one request a line on stdin (JSON), the answer on stdout as frames: a kind byte, a length (4 bytes, little
endian), a payload. It must not import voicefit (a broken voice is replaced in time only by a quick start), nor open a
sound device.

Request: ``{"text", "words_per_minute", "pitch", "volume", "name"}`` or ``{"list": true}``.
Frames: ``R`` rate as decimal text, once, after start; ``A`` sound, int16 little endian; ``V`` a voice, JSON; ``E`` an
error, text; ``.`` the end of an answer.
"""

import ctypes
import json
import struct
import sys

AUDIO_OUTPUT_SYNCHRONOUS = 2
CHARS_UTF8 = 1  # and no flag for SSML or phonemes: the text is words
POS_CHARACTER = 1
RATE, VOLUME, PITCH = 1, 2, 3  # espeak_PARAMETER
OK = 0


class VoiceRecord(ctypes.Structure):
    """``espeak_VOICE`` of speak_lib.h."""

    _fields_ = [
        ("name", ctypes.c_char_p),
        ("languages", ctypes.POINTER(ctypes.c_char)),
        ("identifier", ctypes.c_char_p),
        ("gender", ctypes.c_ubyte),
        ("age", ctypes.c_ubyte),
        ("variant", ctypes.c_ubyte),
        ("xx1", ctypes.c_ubyte),
        ("score", ctypes.c_int),
        ("spare", ctypes.c_void_p),
    ]


def send(kind: bytes, payload: bytes = b"") -> None:
    out = sys.stdout.buffer
    out.write(kind + struct.pack("<I", len(payload)) + payload)
    out.flush()


def languages(record: VoiceRecord) -> list[str]:
    """The priority byte and name pairs that end with a zero priority."""
    found, at = [], 0
    while record.languages[at] != b"\0":
        at += 1
        name = b""
        while record.languages[at] != b"\0":
            name += record.languages[at]
            at += 1
        found.append(name.decode("utf-8", "replace"))
        at += 1
    return found


def main() -> int:
    library_path, data_folder = sys.argv[1:3]
    espeak = ctypes.CDLL(library_path)
    espeak.espeak_ListVoices.restype = ctypes.POINTER(ctypes.POINTER(VoiceRecord))
    espeak.espeak_ListVoices.argtypes = [ctypes.c_void_p]
    espeak.espeak_Synth.argtypes = [
        ctypes.c_char_p, ctypes.c_size_t, ctypes.c_uint, ctypes.c_int, ctypes.c_uint, ctypes.c_uint,
        ctypes.c_void_p, ctypes.c_void_p,
    ]  # fmt: skip
    rate = espeak.espeak_Initialize(AUDIO_OUTPUT_SYNCHRONOUS, 200, data_folder.encode(), 0)
    if rate <= 0:
        send(b"E", b"libespeak-ng could not read its data")
        return 1

    callback_type = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)

    def receive(samples: "ctypes._Pointer[ctypes.c_short]", count: int, _events: int) -> int:
        if samples and count > 0:
            send(b"A", ctypes.string_at(samples, count * 2))
        return 0

    callback = callback_type(receive)  # kept alive: the library holds only its address
    espeak.espeak_SetSynthCallback(callback)
    send(b"R", str(rate).encode())

    chosen = None
    for line in sys.stdin.buffer:
        request = json.loads(line)
        if request.get("list"):
            records = espeak.espeak_ListVoices(None)
            at = 0
            while records[at]:
                record = records[at].contents
                voice = {"name": record.name.decode("utf-8", "replace"), "languages": languages(record)}
                send(b"V", json.dumps(voice).encode())
                at += 1
            send(b".")
            continue
        name = request["name"] or "en"
        if name != chosen:
            if espeak.espeak_SetVoiceByName(name.encode()) != OK:
                chosen = None
                send(b"E", f"there is no voice named {name}".encode())
                send(b".")
                continue
            chosen = name
        espeak.espeak_SetParameter(RATE, request["words_per_minute"], 0)
        espeak.espeak_SetParameter(PITCH, request["pitch"], 0)
        espeak.espeak_SetParameter(VOLUME, request["volume"], 0)
        text = request["text"].encode()
        if espeak.espeak_Synth(text, len(text) + 1, 0, POS_CHARACTER, 0, CHARS_UTF8, None, None) != OK:
            send(b"E", b"libespeak-ng refused the text")
        send(b".")
    return 0


if __name__ == "__main__":
    sys.exit(main())
