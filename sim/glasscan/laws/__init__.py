"""Laws: plain functions and small frozen records of oils, media, particles, valves; numpy and scipy only."""
