-- want: unknown_word.lua:3: unknown name 'larkfell'
-- hint: if it is meant as text, put it in quotation marks: "larkfell"
local works = larkfell
