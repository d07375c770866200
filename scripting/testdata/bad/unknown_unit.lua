-- want: unknown_unit.lua:6: unit: there is no unit "finnishing train"; did you mean "finishing train"?
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finnishing train", at = "2031-11-07 07:00", lasts = "8 h",
}
