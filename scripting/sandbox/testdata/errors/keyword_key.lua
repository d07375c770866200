-- want: keyword_key.lua:4: not understood at 'for'
-- hint: 'for' is a word of the language; as a key write it 'for_'
local back = { pace = "60 %",
  for = "2 h" }
