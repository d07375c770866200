-- want: after_the_end.lua:6: at: that is after the scenario has ended, 2031-11-09 06:00; write a time before the end
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { lasts = "8 h",
  at = "2031-11-12 05:00",
}
