#!/usr/bin/perl
# Holds words_fold against Perl's Unicode: for every letter and digit that Perl knows, case folding
# (fc) of the compatibility decomposition (NFKD) without its marks. Left out are only the letters
# that our own table makes plain (checked against the list below), code points whose decomposition
# holds signs, and what the two versions of Unicode may not share (unassigned in Perl's).
# Usage: fold_unicode.pl PROGRAM, which prints "HEX FOLDED" lines.
use strict;
use warnings;
use feature 'fc';
use Unicode::Normalize qw(NFKD);
use Unicode::UCD qw(charinfo);
binmode STDOUT, ':encoding(UTF-8)';

# The plain letters that stand for hooked and other letters on phones without them. Hausa, Fulfulde,
# Ewe, Twi, Bambara and others, from the letters' names in the Unicode names list, by hand.
my %plain = (
    "\x{e6}" => 'ae', "\x{f0}" => 'd', "\x{f8}" => 'o', "\x{fe}" => 'th', "\x{111}" => 'd',
    "\x{127}" => 'h', "\x{131}" => 'i', "\x{138}" => 'k', "\x{142}" => 'l', "\x{14b}" => 'n',
    "\x{153}" => 'oe', "\x{167}" => 't', "\x{188}" => 'c', "\x{192}" => 'f', "\x{199}" => 'k',
    "\x{1a5}" => 'p', "\x{1ad}" => 't', "\x{1b4}" => 'y', "\x{1b6}" => 'z', "\x{1dd}" => 'e',
    "\x{253}" => 'b', "\x{254}" => 'o', "\x{256}" => 'd', "\x{257}" => 'd', "\x{259}" => 'e',
    "\x{25b}" => 'e', "\x{260}" => 'g', "\x{263}" => 'g', "\x{268}" => 'i', "\x{269}" => 'i',
    "\x{26f}" => 'u', "\x{272}" => 'n', "\x{289}" => 'u', "\x{28a}" => 'u', "\x{28b}" => 'v',
    "\x{292}" => 'z',
);
# Typed as signs, so dropped: the raised o for a degree sign, modifier letters like apostrophes.
my %dropped = map { $_ => 1 } 0xba, 0x2b9 .. 0x2bd, 0x2c8, 0xa78c;
# Scripts whose digits become 0-9 (the others' digits stay as they are).
my %nought = map { $_ => 1 } 0x660, 0x6f0, 0x7c0, 0x966, 0x9e6, 0xff10;

my ($compared, $wrong) = (0, 0);
open my $lines, '-|:encoding(UTF-8)', $ARGV[0] or die "cannot run $ARGV[0]: $!";
while (<$lines>) {
    chomp;
    my ($hex, $got) = split / /, $_, 2;
    my $c = chr hex $hex;
    next unless $c =~ /\A[\p{L}\p{Nd}]\z/;
    my $wanted;
    if ($dropped{hex $hex}) {
        $wanted = '';
    } else {
        $wanted = fc NFKD $c;
        $wanted = NFKD $wanted;
        $wanted =~ s/\p{M}//g;
        $wanted = fc $wanted;
        $wanted = join '', map { $dropped{ord $_} ? '' : $plain{$_} // $_ } split //, $wanted;
        for my $n (keys %nought) {
            $wanted =~ s/(.)/my $d = ord($1) - $n; $d >= 0 && $d < 10 ? $d : $1/ge;
        }
        next unless $wanted =~ /\A[\p{L}\p{Nd}]*\z/;
    }
    $compared++;
    next if $got eq $wanted;
    $wrong++;
    printf "U+%04X %s: got \"%s\", wanted \"%s\"\n", hex $hex, $c, $got, $wanted if $wrong <= 40;
}
close $lines or die "$ARGV[0] failed";
print "$compared letters and digits compared, $wrong differ\n";
exit($wrong == 0 && $compared > 100_000 ? 0 : 1);
