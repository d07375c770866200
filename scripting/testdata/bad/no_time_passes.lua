-- want: no_time_passes.lua:9: plan "p" goes on and on without time passing | is it waiting in a loop for something that is already so?
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  while true do
    works:await(function () return true end)
  end
end)
