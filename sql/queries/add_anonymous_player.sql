-- Marks a player as one who stands for somebody no longer named.
insert into anonymous_player (player_id) values ($player_id);
