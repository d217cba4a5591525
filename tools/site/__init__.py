"""The browser edition: the course as a folder of files that runs wholly in a browser. `make site` builds it.

``parts`` fetches what it is made of, each held to its lock; ``packages`` tells Python in the browser what there is;
``contents`` lays out lessons and assignments; ``build`` puts it together; ``serve`` serves it on this machine.
"""
