"""Laws and numerics: plain functions and small frozen records; numpy and scipy only."""
