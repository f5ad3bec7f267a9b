"""The phone as the headset, and screens to glance at: one small page, served in the workshop's own network when asked.

How it works. :class:`~voicefit.phone.server.Server` runs a web server on a thread of its own, on one address and with a
certificate made on this machine. Who scans the code on the screen brings its secret, which is exchanged once for a
cookie (:mod:`voicefit.phone.pairing`); the cookie opens a WebSocket. Over it the phone sends 16 kHz sound and gets
replies as sound: :class:`~voicefit.phone.sound.PhoneSound` is the ears and mouth of the devices' edge with the phone in
the place of the sound card, so that the driver behind it is the same. Every answer also goes to all pages as a
:class:`~voicefit.phone.view.View`: words, and the outline of the leading end. When the connection drops, the phone is a
device that has gone: the session goes on, and the page joins again by itself with its cookie.

Duty: carry sound and show answers. It must not understand, match or word anything, must not keep any sound, and must
not listen on the network unless asked.
"""
