"""The filter before it is opened, in the jaws of a vice: can, cartridge or stack, with light and shade."""

from __future__ import annotations

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import look, mixed, shadow, upright


def draw_whole(canvas: Canvas, rect: pygame.Rect, kind: str, held: bool = True, ring: bool = True) -> None:
    """Draw the closed filter in a rectangle, held in a vice or standing; with its gasket or bare."""
    h = round(rect.h * 0.78)
    w = min(round(h * {"can": 0.68, "cartridge": 0.6, "disc": 0.62}[kind]), round(rect.w * 0.8))
    body = pygame.Rect(0, 0, w, h)
    body.midbottom = (rect.centerx, rect.bottom - round(rect.h * 0.08))
    shadow(canvas.surface, body, canvas.dp(40))
    _DRAW[kind](canvas, body)
    if kind == "can" and ring:
        gasket = pygame.Rect(body.x + body.w // 12, body.bottom, body.w - body.w // 6, canvas.dp(9))
        pygame.draw.rect(canvas.surface, look(canvas.theme.name, "rubber"), gasket)
    if held:
        _vice(canvas, rect, body)


def _can(canvas: Canvas, body: pygame.Rect) -> None:
    theme, surface = canvas.theme.name, canvas.surface
    nut = pygame.Rect(0, 0, body.w // 3, body.h // 14)
    nut.midtop = body.midtop
    upright(surface, nut, theme, "steel")
    dome = pygame.Rect(body.x, nut.bottom - 2, body.w, body.h // 5)
    wall = pygame.Rect(body.x, dome.centery, body.w, body.bottom - dome.centery)
    whole = dome.union(wall)
    layer = pygame.Surface(whole.size, pygame.SRCALPHA)
    upright(layer, layer.get_rect(), theme, "can")
    mask = pygame.Surface(whole.size, pygame.SRCALPHA)
    pygame.draw.ellipse(mask, (255, 255, 255, 255), dome.move(-whole.x, -whole.y))
    pygame.draw.rect(mask, (255, 255, 255, 255), wall.move(-whole.x, -whole.y))
    layer.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
    surface.blit(layer, whole)
    foot = pygame.Rect(
        body.x - canvas.dp(6), body.bottom - body.h // 22, body.w + canvas.dp(12), body.h // 22
    )
    upright(surface, foot, theme, "steel")
    band = pygame.Rect(body.x, wall.y + wall.h // 3, body.w, wall.h // 4)
    upright(surface, band, theme, "steel")


def _cartridge(canvas: Canvas, body: pygame.Rect) -> None:
    theme, surface = canvas.theme.name, canvas.surface
    cap = body.h // 12
    folds = 26
    paper, fold = look(theme, "paper"), look(theme, "fold")
    for i in range(folds):
        x = body.x + body.w * i // folds
        wide = body.x + body.w * (i + 1) // folds - x
        edge = abs(i / (folds - 1) - 0.35)
        light = mixed(mixed(paper, (255, 255, 255), 0.2), fold, min(edge * 1.3, 1.0))
        half = max(1, wide // 2)
        pygame.draw.rect(surface, light, (x, body.y + cap, wide, body.h - 2 * cap))
        pygame.draw.rect(
            surface, mixed(light, (20, 16, 10), 0.45), (x + half, body.y + cap, wide - half, body.h - 2 * cap)
        )
    for y in (body.y, body.bottom - cap):
        upright(surface, pygame.Rect(body.x - canvas.dp(5), y, body.w + canvas.dp(10), cap), theme, "steel")
    spigot = pygame.Rect(0, 0, body.w // 3, cap)
    spigot.midbottom = body.midtop
    upright(surface, spigot, theme, "steel")


def _disc(canvas: Canvas, body: pygame.Rect) -> None:
    theme, surface = canvas.theme.name, canvas.surface
    shaft = pygame.Rect(0, 0, body.w // 9, body.h)
    shaft.midtop = body.midtop
    upright(surface, shaft, theme, "steel")
    handle = pygame.Rect(0, 0, body.w // 2, body.h // 22)
    handle.midleft = (shaft.centerx, body.y + body.h // 40)
    upright(surface, handle, theme, "steel")
    stack = pygame.Rect(body.x, body.y + body.h // 6, body.w, body.h - body.h // 4)
    upright(surface, stack, theme, "steel")
    discs = 40
    for i in range(discs):
        y = stack.y + stack.h * i // discs
        pygame.draw.line(surface, look(theme, "oil"), (stack.x, y), (stack.right, y), max(1, stack.h // 160))
    post = pygame.Rect(
        stack.right + canvas.dp(6), stack.y - canvas.dp(14), canvas.dp(22), stack.h + canvas.dp(28)
    )
    upright(surface, post, theme, "steel")
    for y in (stack.y - canvas.dp(16), stack.bottom):
        plate = pygame.Rect(body.x - canvas.dp(12), y, body.w + canvas.dp(46), canvas.dp(18))
        upright(surface, plate, theme, "steel")


_DRAW = {"can": _can, "cartridge": _cartridge, "disc": _disc}


def _vice(canvas: Canvas, rect: pygame.Rect, body: pygame.Rect) -> None:
    """Two jaws with soft linings that hold it lightly."""
    theme, surface = canvas.theme.name, canvas.surface
    high, wide = body.h // 5, max(body.w // 2, 8)
    y = body.bottom - high
    for side in (-1, 1):
        lining = pygame.Rect(0, y, canvas.dp(14), high)
        lining.centerx = (body.x if side < 0 else body.right) + side * canvas.dp(9 if side < 0 else 36)
        jaw = pygame.Rect(
            lining.x - wide if side < 0 else lining.right, y - canvas.dp(6), wide, high + canvas.dp(12)
        )
        jaw.clamp_ip(rect)
        upright(surface, jaw, theme, "steel")
        pygame.draw.rect(surface, look(theme, "steel_dark"), jaw, canvas.dp(5), border_radius=canvas.dp(6))
        for k in range(1, 6):  # the teeth of the jaw
            y_k = jaw.y + jaw.h * k // 6
            x = jaw.right - jaw.w // 8 if side < 0 else jaw.x
            end = (x + jaw.w // 8, y_k)
            pygame.draw.line(surface, look(theme, "steel_dark"), (x, y_k), end, canvas.dp(3))
        pygame.draw.rect(surface, look(theme, "wood"), lining, border_radius=canvas.dp(3))
