-- Gives a logger another name on every pass.
update pad_token set logger = $new_name where logger = $logger;
