-- want: upset_first.lua:2: upset "stand wreck" stands before the scenario it belongs to; begin the file with scenario "name" { ... }
upset "stand wreck" { at = "2031-11-07 07:00", lasts = "8 h" }
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
