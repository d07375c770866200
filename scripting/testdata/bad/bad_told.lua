-- want: bad_told.lua:6: told: The low time (8 h) is not shorter than the likely one (4 h); write low < likely < bad, for example "low 4 h, likely 8 h, bad 26 h"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "8 h", likely = "4 h", bad = "26 h" },
}
