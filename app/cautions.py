"""What to mind with a sprung lever: said in the window, on sheets and in reports. Needs no Qt."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "Wear eye protection when you fit, preload or remove a spring; hold both its ends.",
    "Keep fingers and hands out of the throw: past dead centre the lever goes by itself, "
    "and where links close on each other they pinch or cut.",
    "Leave gaps that a finger cannot be caught in, or close them with a guard (ISO 13854 gives "
    "the least gaps for parts of the body).",
    "Secure the lever before you work on the machine; take the spring out if you can.",
    "Try a prototype slowly and with a weaker spring first, and look at pins and welds again "
    "after some hundred throws.",
)

AID = (
    "Throwover is an aid to design. It computes rigid links, dry pins and ideal springs; wear, "
    "impact, clearance and weak material are not in it. Test what you build. Where people can be "
    "hurt, follow your local codes and have the work done or checked by someone licensed for it."
)
